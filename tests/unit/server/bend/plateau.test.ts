import { describe, expect, it } from 'vitest'
import { extendFallLog, newFallLog } from '../../../../server/bend/fall-log.ts'
import { findPlateau } from '../../../../server/bend/plateau.ts'
import { seeded } from '../../../support/synthetic-trace.ts'

interface Fall {
  readonly fallDeg: number
  readonly tauS: number
  readonly seenS: number
  readonly noiseDeg?: number
  readonly quantumDeg?: number
  readonly seed?: number
}

/** A fall to 90°, as the bend watch would log it at 200 Hz. */
function logged({ fallDeg, tauS, seenS, noiseDeg = 0.03, quantumDeg = 0, seed = 1 }: Fall) {
  const random = seeded(seed)
  const log = newFallLog()
  for (let timeS = 0; timeS < seenS; timeS += 0.005) {
    const angleDeg = 90 + fallDeg * Math.exp(-timeS / tauS) + noiseDeg * random.normal()
    const readDeg = quantumDeg > 0 ? Math.round(angleDeg / quantumDeg) * quantumDeg : angleDeg
    extendFallLog(log, timeS, readDeg)
  }
  return log
}

describe('the level after a fall', () => {
  it.each([
    { fallDeg: 3, tauS: 0.03, seenS: 0.8 },
    { fallDeg: 3, tauS: 0.08, seenS: 1.5 },
    { fallDeg: 8, tauS: 0.3, seenS: 3 },
    { fallDeg: 0.5, tauS: 0.3, seenS: 3 },
    { fallDeg: 3, tauS: 1, seenS: 6 },
  ])('is found within 0.03°: %o', (fall) => {
    for (let seed = 1; seed <= 20; seed += 1) {
      const plateau = findPlateau(logged({ ...fall, seed }), 0)!
      expect(Math.abs(plateau.levelDeg - 90)).toBeLessThan(0.03)
      expect(plateau.seDeg).toBeLessThan(0.03)
    }
  })

  it('starts where the fall has sunk into the noise', () => {
    const { fromS } = findPlateau(logged({ fallDeg: 3, tauS: 0.08, seenS: 2 }), 0)!
    // 3° fall to the noise of 0.03° in 4.6 time constants, and to a tenth of it in 6.9.
    expect(fromS).toBeGreaterThan(4 * 0.08)
    expect(fromS).toBeLessThan(9 * 0.08)
  })

  it('while it still falls, the error says that the level is not known', () => {
    for (const seenS of [0.4, 0.8, 1.2]) {
      const plateau = findPlateau(logged({ fallDeg: 3, tauS: 1, seenS }), 0)
      if (plateau === null) continue
      expect(plateau.seDeg).toBeGreaterThan(0.025)
      expect(Math.abs(plateau.levelDeg - 90)).toBeLessThan(4 * plateau.seDeg + 3 * Math.exp(-seenS))
    }
  })

  it('is not asked of a log that is too short', () => {
    expect(findPlateau(newFallLog(), 0)).toBeNull()
    expect(findPlateau(logged({ fallDeg: 1, tauS: 0.05, seenS: 0.2 }), 0)).toBeNull()
    const sparse = newFallLog()
    for (let entry = 0; entry < 5; entry += 1) extendFallLog(sparse, entry, 1)
    expect(findPlateau(sparse, 0)).toBeNull()
  })
})

describe('its standard error is honest', () => {
  it.each([0, 0.01, 0.05])(
    'for white noise and a step of %d°: errors are as large as it says',
    (quantumDeg) => {
      let squares = 0
      const runs = 200
      for (let seed = 1; seed <= runs; seed += 1) {
        const plateau = findPlateau(
          logged({ fallDeg: 3, tauS: 0.08, seenS: 1.5, quantumDeg, seed }),
          quantumDeg,
        )!
        squares += ((plateau.levelDeg - 90) / plateau.seDeg) ** 2
      }
      const ratio = Math.sqrt(squares / runs)
      expect(ratio).toBeGreaterThan(0.5)
      expect(ratio).toBeLessThan(1.3)
    },
  )

  it('a step that no noise dithers costs q/√12, however long it stands (JCGM 100, F.2.2.1)', () => {
    const log = logged({ fallDeg: 3, tauS: 0.08, seenS: 5, noiseDeg: 0, quantumDeg: 0.36 })
    const { seDeg, levelDeg } = findPlateau(log, 0.36)!
    expect(seDeg).toBeGreaterThanOrEqual(0.36 / Math.sqrt(12) - 1e-9)
    expect(Math.abs(levelDeg - 90)).toBeLessThanOrEqual(0.18 + 1e-9)
  })

  it('noise that hangs together counts for fewer samples, mean of seeds 1 to 40', () => {
    let whiteSeDeg = 0
    let redSeDeg = 0
    for (let seed = 1; seed <= 40; seed += 1) {
      const random = seeded(seed)
      const white = newFallLog()
      const red = newFallLog()
      let slow = 0
      for (let timeS = 0; timeS < 2; timeS += 0.005) {
        const trueDeg = 90 + 3 * Math.exp(-timeS / 0.08)
        const noise = 0.03 * random.normal()
        // An AR(1) series with the same variance; its lag-one correlation is 0.8.
        slow = 0.8 * slow + 0.6 * noise
        extendFallLog(white, timeS, trueDeg + noise)
        extendFallLog(red, timeS, trueDeg + slow)
      }
      whiteSeDeg += findPlateau(white, 0)!.seDeg
      redSeDeg += findPlateau(red, 0)!.seDeg
    }
    expect(redSeDeg).toBeGreaterThan(1.8 * whiteSeDeg)
  })

  it('gets smaller as the plateau grows', () => {
    const errors = [0.8, 1.6, 3.2, 6.4].map(
      (seenS) => findPlateau(logged({ fallDeg: 3, tauS: 0.08, seenS }), 0)!.seDeg,
    )
    expect(errors).toEqual([...errors].sort((a, b) => b - a))
  })
})
