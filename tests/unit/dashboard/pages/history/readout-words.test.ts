import { describe, expect, test } from 'vitest'
import { axesText, releasedText } from '../../../../../dashboard/pages/history/readout-words.ts'
import type { Bend } from '../../../../../server/messages/bends.ts'
import { makeFakeHistory } from '../../../../support/fake-history.ts'
import { newBend } from '../../../server/history/shop.ts'

const { readout: _, ...BEND } = makeFakeHistory().append(newBend(1), {
  chain: '',
  snapshot: '',
  lines: [],
})
const READOUT = {
  calibration: { number: 1, at: '2026-01-05T06:30:00Z', hash: 'c' },
  check: null,
  standing: 'none',
  why: null,
  releasedExpandedDeg: 0.26,
} as const

describe('the released angle', () => {
  const text = (change: Partial<Bend>) =>
    releasedText({ ...BEND, releasedDeg: 90.2, releasedSeDeg: 0.012, ...change })

  test('says how well it is known, and how still the tube stood', () => {
    expect(text({ readout: READOUT })).toBe('90.20° ± 0.26° (95 %), standard error 0.012°')
  })

  test('of a readout that nobody calibrated says what its uncertainty lacks', () => {
    expect(text({ readout: { ...READOUT, calibration: null } })).toMatch(
      / ± 0\.26° \(95 %, without scale .*not calibrated\), /,
    )
  })

  test('says no uncertainty that is not known, and nothing of an angle that was not seen', () => {
    expect(text({})).toBe('90.20°, standard error 0.012°')
    const unknown = { ...READOUT, releasedExpandedDeg: null }
    expect(text({ readout: unknown })).toBe('90.20°, standard error 0.012°')
    expect(text({ readout: READOUT, releasedSeDeg: null })).toBe('90.20° ± 0.26° (95 %)')
    expect(text({ readout: READOUT, releasedDeg: null })).toBe('–')
  })
})

test('the axes of an accelerometer say which entry corrected them; no other sensor does', () => {
  const axes = { number: 7, at: '2026-01-05T07:00:12', hash: 'a' }
  expect(axesText({ ...BEND, readout: { ...READOUT, axes } })).toBe(
    'Entry 7 of 2026-01-05 07:00:12',
  )
  expect(axesText({ ...BEND, readout: READOUT })).toBeNull()
  expect(axesText(BEND)).toBeNull()
})
