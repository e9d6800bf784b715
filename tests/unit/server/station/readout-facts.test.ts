import { describe, expect, test } from 'vitest'
import { readoutFacts } from '../../../../server/station/readout-facts.ts'
import { newCalibration, newCheck, newSixPositions } from '../history/shop.ts'

const calibration = { id: 4, ...newCalibration(), previousHash: 'a', hash: 'c4' }
const check = { id: 7, ...newCheck(), previousHash: 'a', hash: 'c7' }
const good = {
  ...{ calibration, axes: null, check, standing: 'good' as const, why: null },
  expandedDeg: (releasedDeg: number, seDeg: number) => releasedDeg / 1000 + seDeg,
}
const RELEASED = { releasedDeg: 90, releasedSeDeg: 0.01 }
const NOT_RELEASED = { releasedDeg: null, releasedSeDeg: null }

describe('readoutFacts', () => {
  test('name what was in force, in words and by number and hash', () => {
    expect(readoutFacts(good, RELEASED)).toEqual({
      calibration: `Calibration 4 of ${calibration.at}`,
      verification: `Check 7 of ${check.at}: passed`,
      readout: {
        calibration: { number: 4, at: calibration.at, hash: 'c4' },
        check: { number: 7, at: check.at, hash: 'c7', passed: true },
        standing: 'good',
        why: null,
        releasedExpandedDeg: 0.1,
      },
    })
  })

  test('name the calibration of the axes where there are any', () => {
    const axes = { id: 2, ...newSixPositions(), previousHash: 'a', hash: 'c2' }
    const { readout } = readoutFacts({ ...good, axes }, RELEASED)
    expect(readout?.axes).toEqual({ number: 2, at: axes.at, hash: 'c2' })
    expect(readoutFacts(good, RELEASED).readout).not.toHaveProperty('axes')
  })

  test('an overdue check is marked, with the reason', () => {
    const facts = readoutFacts({ ...good, standing: 'overdue', why: 'Late.' }, RELEASED)
    expect(facts.verification).toMatch(/: passed, now overdue$/)
    expect(facts.readout).toMatchObject({ standing: 'overdue', why: 'Late.' })
  })

  test('a failed check is marked', () => {
    const failed = { ...good, check: { ...check, passed: false }, standing: 'failed' as const }
    const facts = readoutFacts(failed, RELEASED)
    expect(facts.verification).toMatch(/: failed$/)
    expect(facts.readout?.check?.passed).toBe(false)
  })

  test('never calibrated, never checked', () => {
    const bare = { ...good, calibration: null, check: null, standing: 'none' as const }
    expect(readoutFacts(bare, NOT_RELEASED)).toEqual({
      calibration: 'counts per turn, not calibrated',
      verification: null,
      readout: {
        ...{ calibration: null, check: null, standing: 'none', why: null },
        releasedExpandedDeg: null,
      },
    })
  })

  test('of a bend that was cut off nothing is claimed', () => {
    const facts = readoutFacts(null, NOT_RELEASED)
    expect(facts.calibration).toContain('not known')
    expect(facts).not.toHaveProperty('readout')
  })

  test('a released angle whose uncertainty is not known has none', () => {
    const facts = readoutFacts({ ...good, expandedDeg: () => null }, RELEASED)
    expect(facts.readout?.releasedExpandedDeg).toBeNull()
  })
})
