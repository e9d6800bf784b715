import { type Static, Type } from 'typebox'
import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import { defineBlock, type Frame, item, number, type Objection } from '../chain/block.ts'
import { BAD, NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import type { Agreement } from './compare.ts'
import { trueQuality } from './filter-input.ts'
import { nothingConnected } from './tap-input.ts'
import type { TapSwitch } from './tap-message.ts'
import type { Crossing } from './threshold.ts'

/** The native protocol knows no longer time to live. */
const LIFE_MAX_S = 2
const LIFE_MIN_S = 0.1
/** So many times in its life what is to stay on is told anew. */
const TOLD_A_LIFE = 3

const BEND_EVENTS = [
  'datum',
  'bending',
  'held',
  'letting-off',
  'let-off',
  'settled',
  'false-start',
  'taken-out',
  'closed',
] as const satisfies readonly CycleEvent['kind'][]

const words = <const W extends readonly string[]>(all: W, standard: W[number], help: string) =>
  Type.Unsafe<W[number]>(
    Type.Union(
      all.map((word) => Type.Literal(word)),
      { default: standard, description: help },
    ),
  )

const parameters = strict({
  output: words(
    ['buzzer', 'lamp', 'relay'],
    'buzzer',
    'Which one. An aid, never a safety function; the relay only while a person has armed it for the chain.',
  ),
  timeToLiveS: Type.Number({
    minimum: 0,
    maximum: LIFE_MAX_S,
    default: 0,
    description: 'So long it stays on after each cause, seconds, 0.1 at least; 0 is refused.',
  }),
  bendEvent: words(BEND_EVENTS, 'settled', 'Which event of the bend watch switches it on.'),
})
type Parameters = Static<typeof parameters>

const inputs = {
  on: number('1', 'On as long as this is not 0; a bad value lets it run out.'),
  crossing: item<Crossing>('crossing', 'A threshold goes on.'),
  agreement: item<Agreement>('agreement', 'Two sensors begin to disagree.'),
  events: item<readonly CycleEvent[]>('cycle-events', 'The bend event that is chosen.'),
  cue: item<CueEvent>('cue-event', 'The stop is called.'),
}
const optional = ['on', 'crossing', 'agreement', 'events', 'cue'] as const

interface Memory {
  on: boolean
  /** When it was last told to be on; null before. */
  toldS: number | null
}

type OutputFrame = Frame<typeof inputs, Record<never, never>>

function objection(
  { output: which, timeToLiveS }: Parameters,
  connected: ReadonlySet<string>,
): Objection<keyof typeof inputs> {
  const port = optional.find((name) => connected.has(name)) ?? 'on'
  if (timeToLiveS >= LIFE_MIN_S) return nothingConnected(connected, port)
  return {
    port,
    why:
      `switches the ${which} without a time to live: set timeToLiveS to ${LIFE_MIN_S} ` +
      `up to ${LIFE_MAX_S} seconds, so that it falls by itself.`,
  }
}

/**
 * Switches an output of the board: on for its time to live from each cause, so that whatever falls silent lets
 * it fall. `on` keeps it on, and going to 0 ends it. For longer than two seconds put a timer's pulse before `on`.
 */
export const output = defineBlock({
  kind: 'output',
  summary: 'Switches buzzer, lamp or relay for a time to live: an aid, no safety function.',
  parameters,
  inputs,
  outputs: {},
  optional,
  outlet: 'tap',
  objection,
  start: (): Memory => ({ on: false, toldS: null }),
  step(frame, memory, settings: Parameters, rows) {
    const { on, crossing, agreement, events, cue } = frame.in
    const hasEvents = crossing.count + agreement.count + events.count + cue.count > 0
    for (let row = 0; row < rows; row++) {
      const quality = trueQuality(on.value[row] as number, on.quality[row] as number)
      if (quality < BAD) follow(frame, memory, settings, row)
      else if (quality !== NONE) memory.on = false
      const causeS = hasEvents ? eventS(frame.in, settings, row) : null
      if (causeS !== null) frame.emit(switched(frame.id, causeS, true, settings))
    }
  },
})

const switched = (
  block: string,
  timeS: number,
  on: boolean,
  { output: which, timeToLiveS }: Parameters,
): TapSwitch => ({ type: 'switch', block, timeS, output: which, on, lifeS: timeToLiveS })

function follow(frame: OutputFrame, memory: Memory, settings: Parameters, row: number): void {
  const timeS = frame.in.on.timeS[row] as number
  const isOn = frame.in.on.value[row] !== 0
  const sinceS = timeS - (memory.toldS ?? Number.NEGATIVE_INFINITY)
  const isFresh = sinceS >= 0 && sinceS < settings.timeToLiveS / TOLD_A_LIFE
  if (isOn && !(memory.on && isFresh)) {
    memory.toldS = timeS
    frame.emit(switched(frame.id, timeS, true, settings))
  }
  if (!isOn && memory.on) frame.emit(switched(frame.id, timeS, false, settings))
  memory.on = isOn
}

/** When an event of this row switches it on; null where none does. */
function eventS(given: OutputFrame['in'], { bendEvent }: Parameters, row: number): number | null {
  const crossing = given.crossing.items[row]
  if (crossing?.on) return crossing.timeS
  const agreement = given.agreement.items[row]
  if (agreement && !agreement.agree) return agreement.timeS
  const event = given.events.items[row]?.find(({ kind }) => kind === bendEvent)
  if (event) return event.timeS
  const cue = given.cue.items[row]
  return cue?.cue === 'stop' ? cue.timeS : null
}
