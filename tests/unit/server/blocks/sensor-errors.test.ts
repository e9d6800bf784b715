import { describe, expect, test } from 'vitest'
import type { DeviceReport } from '../../../../server/blocks/device-report.ts'
import { mayMissCounts, noErrorsYet } from '../../../../server/blocks/sensor-errors.ts'

const flags = (value: number): DeviceReport => ({ kind: 'flags', flags: value })
const status = (sensorErrors: number): DeviceReport => ({
  kind: 'status',
  tickUs: 0,
  flags: 0,
  supplyMv: 5000,
  overruns: 0,
  sensorErrors,
})
const answer: DeviceReport = { kind: 'answer', command: 1, ok: true, reason: '' }

function told(reports: readonly DeviceReport[]): boolean[] {
  const errors = noErrorsYet()
  return reports.map((report) => mayMissCounts(errors, report))
}

describe('the flag of the samples', () => {
  test.each([
    ['is told once when it comes', [flags(1)], [true]],
    ['and not again while it stands, whatever else changes', [flags(1), flags(5)], [true, false]],
    ['again after it was gone', [flags(1), flags(0), flags(1)], [true, false, true]],
    [
      'others tell nothing of counts',
      [flags(2), flags(4), flags(8), flags(0xfe)],
      Array(4).fill(false),
    ],
    ['beside others counts as well', [flags(8), flags(9)], [false, true]],
  ])('%s', (_, reports, expected) => {
    expect(told(reports)).toEqual(expected)
  })
})

describe('the count of the status', () => {
  test.each([
    ['as it is first heard is no news: it may be as old as the board', [status(7)], [false]],
    ['that grows without a flag is: its lines were lost', [status(0), status(1)], [false, true]],
    ['that stays is none', [status(3), status(3), status(3)], [false, false, false]],
    [
      'that begins anew is none, and grows from there',
      [status(9), status(0), status(1)],
      [false, false, true],
    ],
    ['after a flag is known already', [status(0), flags(1), status(1)], [false, true, false]],
    [
      'still after the flag is gone',
      [status(0), flags(1), flags(0), status(4)],
      [false, true, false, false],
    ],
    [
      'while the flag stands too',
      [status(0), flags(1), status(1), status(2)],
      [false, true, false, false],
    ],
    [
      'as the flag ends too',
      [status(0), flags(1), status(1), flags(0), status(2)],
      [false, true, false, false, false],
    ],
    [
      'a whole status later is news again',
      [status(0), flags(1), flags(0), status(1), status(2)],
      [false, true, false, false, true],
    ],
  ])('%s', (_, reports, expected) => {
    expect(told(reports)).toEqual(expected)
  })
})

test('anything else that a board says tells nothing of counts', () => {
  expect(told([answer, status(0), answer])).toEqual([false, false, false])
})
