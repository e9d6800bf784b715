import { describe, expect, test } from 'vitest'
import { isAuto, wireHeard } from '../../../../server/commands/serve-auto.ts'
import type { WireFlags } from '../../../../server/commands/serve-wire.ts'
import type { Probed } from '../../../../server/messages/wire.ts'
import { Refused } from '../../../../server/web/station-door.ts'
import { makeSimulatedClock } from '../../../support/simulated-clock.ts'

const FLAGS: WireFlags = { serial: '/dev/x', dialect: 'auto' }
const NATIVE: Probed = {
  wire: { kind: 'serial', path: '/dev/x', baud: 57_600, dialect: 'native' },
  ...{ sure: 0.98, sentence: 'At 57600 baud: 40 of 40 lines.', tries: [] },
}
const listen = (
  flags: WireFlags & { readonly column?: number },
  probed: Probed | Refused = NATIVE,
) =>
  wireHeard(flags, makeSimulatedClock(), async () => {
    if (probed instanceof Refused) throw probed
    return probed
  })

test('only the word auto asks to listen', () => {
  expect(isAuto(FLAGS)).toBe(true)
  expect(isAuto({ ...FLAGS, dialect: 'native' })).toBe(false)
  expect(isAuto({ serial: '/dev/x' })).toBe(false)
})

test('what was heard is the wire, and how sure that is is said', async () => {
  expect(await listen(FLAGS)).toEqual({
    wire: NATIVE.wire,
    why: 'At 57600 baud: 40 of 40 lines. That is 98 % sure.',
  })
})

describe('refused, in one sentence that names the flag', () => {
  test.each<[string, WireFlags & { readonly column?: number }, Probed | Refused, RegExp]>([
    ['no port', { dialect: 'auto' }, NATIVE, /^--dialect auto listens at a port: give --serial\.$/],
    ['a rate', { ...FLAGS, baud: 9600 }, NATIVE, /leave out --baud\.$/],
    ['two sources', { ...FLAGS, bench: true }, NATIVE, /exclude one another/],
    ['an option of one dialect', { ...FLAGS, column: 2 }, NATIVE, /^--column belongs to/],
    [
      'nothing heard',
      FLAGS,
      { ...NATIVE, wire: null, sure: 0, sentence: 'Nothing was heard.' },
      /^--dialect auto: Nothing was heard\.$/,
    ],
    [
      'a Modbus sensor, whose registers nobody knows',
      FLAGS,
      {
        ...NATIVE,
        sentence: 'At 9600 baud: A Modbus sensor answers as unit 2.',
        wire: {
          ...{ kind: 'modbus', path: '/dev/x', baud: 9600 },
          options: { unitId: 2, function: 'input', register: 0, registersAs: 'int16' },
        },
      },
      /unit 2\. Its sheet says which register.*--register and --registers-as\.$/,
    ],
    [
      'a port that is not there',
      FLAGS,
      new Refused('bad-input', 'There is no port /dev/x.'),
      /^--serial: There is no port \/dev\/x\.$/,
    ],
  ])('%s', async (_, flags, probed, says) => {
    await expect(listen(flags, probed)).rejects.toThrow(says)
    await expect(listen(flags, probed)).rejects.toMatchObject({ name: 'BadInput' })
  })

  test('a fault of our own is no bad input', async () => {
    const broken = wireHeard(FLAGS, makeSimulatedClock(), () => Promise.reject(new Error('bug')))
    await expect(broken).rejects.toThrow('bug')
  })
})
