import { describe, expect, test } from 'vitest'
import { outputIsOn } from '../../../../server/bend/output-rule.ts'
import { CUES } from '../../../../server/messages/live.ts'

const onAt = (output: 'buzzer' | 'lamp' | 'relay', dropped = false) =>
  CUES.filter((cue) => outputIsOn(output, cue, dropped))

describe('an armed output', () => {
  test.each(['buzzer', 'lamp'] as const)(
    '%s calls the stop, until the load comes off',
    (output) => {
      expect(onAt(output)).toEqual(['stop', 'over'])
      expect(onAt(output, true)).toEqual(['stop', 'over'])
    },
  )
  test('a relay is on while all is well, so that whatever fails lets it fall', () => {
    expect(onAt('relay')).toEqual(['none', 'bend', 'ease'])
  })
  test('a relay that fell stays down, whatever the cue says afterwards', () => {
    expect(onAt('relay', true)).toEqual([])
  })
})
