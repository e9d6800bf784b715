import { Type } from 'typebox'
import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import { type Frame, item, number, type Objection } from '../chain/block.ts'
import { BAD, NONE } from '../chain/column.ts'
import { UNITS, type Unit, unitFrom, unitParameter } from '../chain/unit.ts'
import type { Agreement } from './compare.ts'
import { trueQuality } from './filter-input.ts'
import type { TapEvent, TapMessage, TapValue } from './tap-message.ts'
import type { Crossing } from './threshold.ts'

/** What goes into a block that lets values and events out of the chain. */
const tapInputs = {
  value: number(unitFrom('unit'), 'What is let out, no oftener than `everyS`.'),
  crossing: item<Crossing>('crossing', 'A threshold goes on or off; always let out.'),
  agreement: item<Agreement>('agreement', 'Two sensors disagree or agree again; always let out.'),
  events: item<readonly CycleEvent[]>('cycle-events', 'Of the bend watch; always let out.'),
  cue: item<CueEvent>('cue-event', 'Of the stop cue; always let out.'),
}

const tapOptional = ['value', 'crossing', 'agreement', 'events', 'cue'] as const

export const tapParameters = {
  unit: unitParameter(UNITS, 'deg', 'Unit of the value.'),
  everyS: Type.Number({
    minimum: 0.02,
    maximum: 3600,
    default: 1,
    description: 'Values no oftener than this, seconds; events are never held back.',
  }),
  step: Type.Number({
    minimum: 0,
    maximum: 1e9,
    default: 0,
    description: 'A value only once it has changed by so much, or its quality has; 0: every time.',
  }),
}

interface Thinning {
  readonly unit: Unit
  readonly everyS: number
  readonly step: number
}

interface TapMemory {
  /** Of the value that was let out last; null before the first. */
  lastS: number | null
  last: number
  lastQuality: number
}

const tapStart = (): TapMemory => ({ lastS: null, last: 0, lastQuality: NONE })

type TapFrame = Frame<typeof tapInputs, Record<never, never>>

/** Times are sums of steps: what misses its turn by less than this does not miss it. */
const ON_TIME_S = 1e-6
const WORDS = ['good', 'uncertain', 'bad'] as const

export const nothingConnected = <Port extends string>(
  connected: ReadonlySet<string>,
  port: Port,
): Objection<Port> =>
  connected.size > 0
    ? null
    : { port, why: 'is not connected, nor is any other input: connect what is to be let out.' }

function isDue(memory: TapMemory, timeS: number, value: number, quality: number, given: Thinning) {
  if (quality === NONE || !Number.isFinite(timeS)) return false
  if (memory.lastS === null || timeS < memory.lastS) return true
  if (!(timeS - memory.lastS >= given.everyS - ON_TIME_S)) return false
  if (given.step === 0 || quality !== memory.lastQuality) return true
  return quality < BAD && Math.abs(value - memory.last) >= given.step
}

/** Emits what is to be let out of a batch. */
function letOut(frame: TapFrame, memory: TapMemory, given: Thinning, rows: number): void {
  const { value, crossing, agreement, events, cue } = frame.in
  const hasEvents = crossing.count + agreement.count + events.count + cue.count > 0
  for (let row = 0; row < rows; row++) {
    const now = value.value[row] as number
    const timeS = value.timeS[row] as number
    const quality = trueQuality(now, value.quality[row] as number)
    if (isDue(memory, timeS, now, quality, given)) {
      memory.lastS = timeS
      memory.last = Number.isFinite(now) ? now : 0
      memory.lastQuality = quality
      frame.emit(messageOf(frame.id, timeS, now, quality, given.unit))
    }
    if (hasEvents) tellEvents(frame, row)
  }
}

const messageOf = (
  block: string,
  timeS: number,
  value: number,
  quality: number,
  unit: Unit,
): TapValue => ({
  type: 'value',
  block,
  timeS,
  value: Number.isFinite(value) ? value : null,
  unit,
  quality: WORDS[quality as 0 | 1 | 2],
})

function tellEvents({ in: { crossing, agreement, events, cue }, id, emit }: TapFrame, row: number) {
  const tell = (timeS: number, event: string, facts: TapEvent['facts']) => {
    const message: TapMessage = { type: 'event', block: id, timeS, event, facts }
    emit(message)
  }
  const crossed = crossing.items[row]
  if (crossed) tell(crossed.timeS, `threshold ${crossed.on ? 'on' : 'off'}`, {})
  const agreed = agreement.items[row]
  if (agreed) {
    const { agree, timeS, difference } = agreed
    tell(timeS, `sensors ${agree ? 'agree' : 'disagree'}`, { difference })
  }
  for (const { kind, timeS, ...facts } of events.items[row] ?? [])
    tell(timeS, `bend ${kind}`, facts)
  const cued = cue.items[row]
  if (cued) {
    const { timeS, angleDeg, rateDegPerS } = cued
    tell(timeS, `cue ${cued.cue}`, { angleDeg, rateDegPerS })
  }
}

/** What every block is that lets values and events out of the chain, wherever the station puts them. */
export const tapParts = {
  inputs: tapInputs,
  outputs: {},
  optional: tapOptional,
  outlet: 'tap',
  start: tapStart,
  step: letOut,
} as const

/** Where a block sends to: a name or an IPv4 address. */
const HOST_LABEL = '[A-Za-z0-9]([A-Za-z0-9-]{0,61}[A-Za-z0-9])?'

export const hostParameter = (description: string) =>
  Type.String({
    pattern: `^(${HOST_LABEL}(\\.${HOST_LABEL})*)?$`,
    maxLength: 253,
    default: '',
    description,
  })

export const portParameter = (standard: number) =>
  Type.Integer({
    minimum: 1,
    maximum: 65_535,
    default: standard,
    description: 'TCP port of that host.',
  })

/** What a block that sends over the network lacks. */
export function sendsNowhere(
  { host }: { readonly host: string },
  connected: ReadonlySet<string>,
): Objection<keyof typeof tapInputs> {
  const port = tapOptional.find((name) => connected.has(name)) ?? 'value'
  if (host !== '') return nothingConnected(connected, port)
  return { port, why: "goes nowhere: set host to a machine on the shop's network." }
}
