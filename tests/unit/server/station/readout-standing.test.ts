import { describe, expect, test } from 'vitest'
import type { Calibration, Check, ReferencePiece } from '../../../../server/messages/readout.ts'
import { readoutNotices } from '../../../../server/station/readout-notices.ts'
import { doubtOf, standingOf } from '../../../../server/station/readout-standing.ts'
import { newCalibration, newCheck, newPiece, newSixPositions } from '../history/shop.ts'

const chained = { previousHash: 'a', hash: 'b' }
const calibration = (id: number): Calibration => ({ id, ...newCalibration(), ...chained })
const piece = (more: Partial<ReferencePiece> = {}): ReferencePiece => ({
  ...{ id: 2, ...newPiece(), ...chained },
  ...more,
})
const check = (more: Partial<Check> = {}): Check => ({
  ...{ id: 3, ...newCheck(), ...chained },
  ...more,
})

const axes = { id: 1, ...newSixPositions(), ...chained }

const CHECKED_MS = Date.parse(newCheck().at)
const DAY_MS = 86_400_000
const at = (afterMs: number, startedAfterMs = -DAY_MS) => ({
  nowMs: CHECKED_MS + afterMs,
  startedMs: CHECKED_MS + startedAfterMs,
})
const known = { axes: null, calibration: calibration(1), piece: piece(), check: check() }

describe('doubt', () => {
  const day = (n: number) => `2026-01-0${n}T08:00:00.000+01:00`
  const ran = (id: number, passed: boolean, of = 2) => check({ id, at: day(id), passed, piece: of })

  test('none without a check, nor after one that passed, whatever was before', () => {
    expect(doubtOf([])).toBeNull()
    expect(doubtOf([ran(3, true)])).toBeNull()
    expect(doubtOf([ran(5, true), ran(4, false), ran(3, true)])).toBeNull()
  })

  test('from the last that passed to the first that failed since', () => {
    const checks = [ran(7, false), ran(6, false), ran(5, true), ran(4, false), ran(3, true)]
    expect(doubtOf(checks)).toEqual({ goodAt: day(5), failedAt: day(6) })
  })

  test('with another piece it was as good', () => {
    expect(doubtOf([ran(5, false, 4), ran(3, true)])).toEqual({ goodAt: day(3), failedAt: day(5) })
  })

  test('from its beginning where none ever passed', () => {
    expect(doubtOf([ran(4, false), ran(3, false)])).toEqual({ goodAt: null, failedAt: day(3) })
  })
})

describe('standing', () => {
  test('none, as long as no reference piece was recorded', () => {
    const standing = standingOf({ ...known, piece: null }, at(1e12))
    expect(standing).toEqual({ standing: 'none', why: null, dueAt: null })
  })

  test('good for as many days as the piece says, to the millisecond', () => {
    expect(standingOf(known, at(0)).standing).toBe('good')
    const last = standingOf(known, at(7 * DAY_MS))
    expect(last).toMatchObject({ standing: 'good', why: null })
    expect(Date.parse(last.dueAt!)).toBe(CHECKED_MS + 7 * DAY_MS)
    expect(standingOf(known, at(7 * DAY_MS + 1))).toMatchObject({
      standing: 'overdue',
      why: 'The last check of the readout is more than 7 days old.',
    })
    const daily = { ...known, piece: piece({ everyDays: 1 }) }
    expect(standingOf(daily, at(DAY_MS + 1)).why).toContain('more than a day old')
  })

  test.each([
    ['never checked', { ...known, check: null }, at(1), 'never checked'],
    ['calibrated since', { ...known, calibration: calibration(4) }, at(1), 'calibrated after'],
    ['its axes since', { ...known, axes: { ...axes, id: 4 } }, at(1), 'calibrated after'],
    ['the clock was set back', known, at(-1), 'clock was set back'],
    ['a clock that is no number', known, { nowMs: Number.NaN, startedMs: 0 }, 'clock'],
  ])('overdue: %s', (_, given, when, words) => {
    const { standing, why, dueAt } = standingOf(given, when)
    expect(standing).toBe('overdue')
    expect(why).toContain(words)
    expect(dueAt).toBeNull()
  })

  test('failed, however fresh, and says by how much', () => {
    const failed = { ...known, check: check({ passed: false, differenceDeg: -0.31 }) }
    expect(standingOf(failed, at(1))).toMatchObject({
      standing: 'failed',
      why: 'The readout was 0.31° off its reference piece, more than 0.2°.',
    })
  })

  test('after every start: good only when checked since', () => {
    const eachStart = { ...known, piece: piece({ everyDays: null }) }
    expect(standingOf(eachStart, at(1e10, -1))).toMatchObject({ standing: 'good', dueAt: null })
    expect(standingOf(eachStart, at(1e10, 1))).toMatchObject({ standing: 'overdue' })
  })
})

describe('notices', () => {
  test('a failed check is a doubt, an overdue one a task; each with what to do', () => {
    const failed = readoutNotices({ standing: 'failed', why: 'It failed.' })
    expect(failed).toMatchObject([{ id: 'check', kind: 'doubt', text: 'It failed.' }])
    expect(failed[0]!.hint).toMatch(/reference piece.*\.$/)
    expect(readoutNotices({ standing: 'overdue', why: 'Late.' })[0]!.kind).toBe('task')
  })

  test('none when nothing is the matter', () => {
    expect(readoutNotices({ standing: 'good', why: null })).toEqual([])
    expect(readoutNotices({ standing: 'none', why: null })).toEqual([])
  })
})
