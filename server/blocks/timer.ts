import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { gapParameter, trueQuality } from './filter-input.ts'

const parameters = strict({
  mode: Type.Union([Type.Literal('on-delay'), Type.Literal('off-delay'), Type.Literal('pulse')], {
    default: 'on-delay',
    description: 'Goes on later, goes off later, or is on for a set time (TON, TOF, TP).',
  }),
  timeS: Type.Number({
    minimum: 0,
    maximum: 86_400,
    default: 1,
    description: 'Delay, or length of the pulse, seconds.',
  }),
  gapS: gapParameter(1),
})

interface Memory {
  given: boolean
  on: boolean
  lastS: number
  /** When the time that runs began; null while none runs. */
  startS: number | null
  elapsedS: number
}

/**
 * The timers of IEC 61131-3. Time comes with the rows: the output changes in the first row at or after its
 * time. Before its first value the input counts as off. A bad value leaves the input as it was known, marked
 * bad, and time runs on. Over a silence, or where time goes back, an input is not known to have stood: a delay
 * begins anew; a pulse runs on, and begins anew only where time goes back.
 */
export const timer = defineBlock({
  kind: 'timer',
  summary: 'Delays going on or off, or makes a pulse.',
  parameters,
  inputs: { on: number('1', 'On: not 0.') },
  outputs: {
    on: number('1', 'On: 1, off: 0.'),
    elapsedS: number('s', 'How long the time runs already; stands at its end.'),
  },
  start: (): Memory => ({ given: false, on: false, lastS: 0, startS: null, elapsedS: 0 }),
  step({ in: { on: input }, out: { on, elapsedS } }, memory, settings, rows) {
    const { mode, timeS: lengthS, gapS }: Static<typeof parameters> = settings
    for (let row = 0; row < rows; row++) {
      const quality = trueQuality(input.value[row] as number, input.quality[row] as number)
      const timeS = input.timeS[row] as number
      if (quality <= BAD && Number.isFinite(timeS)) {
        const given = quality < BAD ? input.value[row] !== 0 : memory.given
        const stepS = timeS - memory.lastS
        const runs = memory.startS !== null && memory.elapsedS < lengthS
        if (runs && (stepS < 0 || (mode !== 'pulse' && stepS > gapS))) begin(memory, timeS)
        advance[mode](memory, given, timeS, lengthS)
        memory.given = given
        memory.lastS = timeS
      }
      on.value[row] = Number(memory.on)
      elapsedS.value[row] = memory.elapsedS
      on.quality[row] = quality
      elapsedS.quality[row] = quality
    }
  },
})

/** @returns whether the time that runs is over; `elapsedS` stands at its length then, whatever time does. */
function isOver(memory: Memory, timeS: number, lengthS: number): boolean {
  if (memory.startS === null) return false
  if (memory.elapsedS < lengthS) memory.elapsedS = Math.min(timeS - memory.startS, lengthS)
  return memory.elapsedS >= lengthS
}

function begin(memory: Memory, timeS: number): void {
  memory.startS = timeS
  memory.elapsedS = 0
}

function stop(memory: Memory): void {
  memory.startS = null
  memory.elapsedS = 0
}

const advance = {
  'on-delay'(memory: Memory, given: boolean, timeS: number, lengthS: number): void {
    if (!given) stop(memory)
    else if (!memory.given) begin(memory, timeS)
    memory.on = memory.on && given ? true : isOver(memory, timeS, lengthS)
  },

  'off-delay'(memory: Memory, given: boolean, timeS: number, lengthS: number): void {
    if (given) {
      stop(memory)
      memory.on = true
      return
    }
    if (memory.given) begin(memory, timeS)
    if (isOver(memory, timeS, lengthS)) memory.on = false
  },

  pulse(memory: Memory, given: boolean, timeS: number, lengthS: number): void {
    const rises = given && !memory.given
    if (rises && !memory.on) {
      begin(memory, timeS)
      memory.on = true
    }
    if (!isOver(memory, timeS, lengthS)) return
    memory.on = false
    if (!given) stop(memory)
  },
}
