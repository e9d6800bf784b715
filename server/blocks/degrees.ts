import { type Static, Type } from 'typebox'
import type { HostLine } from '../bend/host-line.ts'
import { defineBlock, item, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import type { OriginLost } from './unwrap.ts'

const parameters = strict({
  perTurn: Type.Number({
    minimum: 0,
    maximum: 2 ** 32,
    default: 360,
    description: 'What the sensor says for one turn of it: 360 in degrees; 0: nobody has said it.',
  }),
  wrapsAt: Type.Number({
    minimum: 0,
    maximum: 2 ** 32,
    default: 360,
    description: 'Where the sensor begins again, in its own unit; 0: it does not.',
  }),
  direction: Type.Union([Type.Literal(1), Type.Literal(-1)], {
    default: 1,
    description: '1 when readings grow as the tube is bent, −1 when they fall.',
  }),
  degPerTurn: Type.Number({
    exclusiveMinimum: 0,
    maximum: 36_000,
    default: 360,
    description: 'Degrees of the die for one turn of the sensor: less behind a gear or a belt.',
  }),
  keepsZero: Type.Boolean({
    default: true,
    description: 'Whether the sensor reads the same again after it was unplugged.',
  }),
})

interface Memory {
  started: boolean
  raw: number
  /** Without wraps. */
  value: number
  /** The wire was lost: the next reading may have begun anew. */
  cut: boolean
}

/**
 * A sensor's own readings, in degrees or in counts, to degrees of the die. Wraps are joined the shorter way
 * round, so the shaft may turn by half a round between two readings. A sensor that begins anew when it is
 * unplugged goes on from where it stood, for want of better, and `lost` says that its zero is no more.
 */
export const degrees = defineBlock({
  kind: 'degrees',
  summary: 'Joins readings over the wrap of the sensor and turns them into degrees.',
  parameters,
  inputs: {
    value: number('1', 'Readings as sent.'),
    command: item<HostLine>('host-line', 'Link lost and back.'),
  },
  outputs: {
    angle: number('deg', 'Where the readout stands.'),
    lost: item<OriginLost>('origin-lost', 'What was zero before is so no more.'),
  },
  optional: ['command'],
  start: (): Memory => ({ started: false, raw: 0, value: 0, cut: false }),
  step(frame, memory, given: Static<typeof parameters>, rows) {
    const { value, command } = frame.in
    const { angle, lost } = frame.out
    const isKnown = given.perTurn > 0
    const scale = isKnown ? (given.direction * given.degPerTurn) / given.perTurn : 0
    for (let row = 0; row < rows; row++) {
      if (command.count > 0 && isLoss(command.items[row])) memory.cut = memory.started
      const quality = value.quality[row] as number
      // A reading that is bad is no position: the last one stands, marked bad.
      if (quality < BAD) {
        const beginsAnew = memory.cut && !given.keepsZero
        join(memory, value.value[row] as number, given.wrapsAt, beginsAnew)
        if (beginsAnew) {
          lost.items[row] = { reason: 'device restarted' }
          lost.count++
        }
        memory.cut = false
      }
      angle.value[row] = memory.value * scale
      angle.quality[row] = isKnown ? quality : Math.max(quality, BAD)
    }
  },
})

const isLoss = (command: HostLine | null | undefined): boolean =>
  command?.act === 'link' && command.state === 'lost'

function join(memory: Memory, raw: number, wrapsAt: number, beginsAnew: boolean): void {
  const step = raw - memory.raw
  const rounds = wrapsAt > 0 ? Math.round(step / wrapsAt) : 0
  if (!memory.started) memory.value = raw
  else if (!beginsAnew) memory.value += step - wrapsAt * rounds
  memory.started = true
  memory.raw = raw
}
