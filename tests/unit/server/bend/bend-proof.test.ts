import { expect, test } from 'vitest'
import {
  bendProof,
  calibratedExpandedDegOf,
  noProofOf,
  releasedExpandedDegOf,
} from '../../../../server/bend/bend-proof.ts'

const BEND = { wantedDeg: 90, toleranceDeg: 0.5 }
const known = (
  releasedExpandedDeg: number | null,
  standing: 'good' | 'overdue' | 'failed' | 'none' = 'good',
  calibration: object | null = {},
) => ({ readout: { releasedExpandedDeg, standing, calibration } })

test.each([
  ['well within', 90.1, known(0.26), 'proved-in'],
  // 90.24 − 90 is 0.2399999999999949 to a double: the digit decides nothing.
  ['just as near as its U lets it', 90.24, known(0.26), 'proved-in'],
  ['within, by less than its U', 90.3, known(0.26), 'undecided'],
  ['beyond, by less than its U', 89.4, known(0.26), 'undecided'],
  ['beyond, by just its U', 90.76, known(0.26), 'undecided'],
  ['well beyond', 91.6, known(0.26), 'proved-out'],
  ['well under', 88.4, known(0.26), 'proved-out'],
  ['of a readout that is worse than the tolerance', 90, known(0.6), 'undecided'],
  ['of an uncertainty that is not known', 90, known(null), null],
  ['of a record from before uncertainties', 90, {}, null],
  ['of a calibrated readout that no reference piece checks', 90, known(0.26, 'none'), 'proved-in'],
  ['of a readout that nobody calibrated', 90, known(0.26, 'none', null), null],
  ['of a readout whose check was overdue', 90, known(0.26, 'overdue'), null],
  ['of a readout whose check failed', 95, known(0.26, 'failed'), null],
  ['not seen', null, known(0.26), null],
])('%s: %s°', (_, releasedDeg, readout, proof) => {
  expect(bendProof({ ...BEND, releasedDeg, ...readout })).toBe(proof)
})

test('an angle that an angle finder gave proves nothing by the readout, also where a record holds its budget', () => {
  const checked = { ...BEND, releasedDeg: 90.1, releasedFrom: 'checked', ...known(0.2) }
  expect([bendProof(checked), noProofOf(checked), releasedExpandedDegOf(checked)]).toEqual([
    ...[null, 'by-hand', null],
  ])
  expect(releasedExpandedDegOf({ ...checked, releasedFrom: 'way' })).toBe(0.2)
})

test('an uncertainty stands beside an angle without a word only where the readout was calibrated', () => {
  const seen = { ...BEND, releasedDeg: 90.1 }
  expect(calibratedExpandedDegOf({ ...seen, ...known(0.2) })).toBe(0.2)
  expect(calibratedExpandedDegOf({ ...seen, ...known(0.2, 'none', null) })).toBeNull()
  expect(calibratedExpandedDegOf({ ...seen, ...known(null) })).toBeNull()
  expect(calibratedExpandedDegOf(seen)).toBeNull()
  expect(calibratedExpandedDegOf({ ...seen, releasedFrom: 'checked', ...known(0.2) })).toBeNull()
})
