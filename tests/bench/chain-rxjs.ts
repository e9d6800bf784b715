import { bufferCount, filter, map, type Observable, Subject, scan, share } from 'rxjs'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { decodeSampleInto } from '../../firmware-protocol/codec/sample.ts'
import {
  CYCLE_DEFAULTS,
  closeCycle,
  datumTaken,
  newCycle,
  stepCycle,
} from '../../server/bend/cycle.ts'
import type { CycleEvent } from '../../server/bend/cycle-event.ts'
import { type HostLine, parseHostLine } from '../../server/bend/host-line.ts'
import { cueCycleEvent, newStopCue, setCueAim, stepStopCue } from '../../server/bend/stop-cue.ts'
import { stepMotion } from '../../server/blocks/constant-velocity.ts'
import { newTickClock, takeTick } from '../../server/blocks/tick-clock.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'
import type { Sink } from './chain-fused.ts'

/** One value on its way: a sample's number, or a command between samples. */
interface Value {
  readonly timeS: number
  readonly value: number
  readonly command: HostLine | null
}
interface Datumed extends Value {
  readonly quality: number
  readonly takenDeg: number | null
}
interface Moving extends Datumed {
  readonly rateDegPerS: number
}

/** Memory of a stage in the closure and a fresh object for each value: how such pipelines are written. */
const stage = <A, B>(step: (value: A) => B) => map(step)

/**
 * The shipped chain as an RxJS pipeline: an operator for each block, an object for each value, `share` where
 * it branches; the same pure functions within. Live values and raw lines are gathered by `bufferCount`.
 */
export function rxjsPipeline(sink: Sink, batch: number): (lines: readonly RawLine[]) => void {
  const lines = new Subject<RawLine>()
  const raw = lines.pipe(share())
  raw.pipe(bufferCount(batch)).subscribe((kept) => sink.raw(kept))
  const turns = { counts: 0 }
  const angle = raw.pipe(decoded(turns), timed(), unwrapped(turns), scaled(turns), guarded())
  const datumed = angle.pipe(fromDatum(), share())
  const moving = datumed.pipe(smoothed(), share())
  const events = new Subject<CycleEvent>()
  events.subscribe((event) => sink.event(event))
  datumed.pipe(watched()).subscribe((found) => {
    for (const event of found) events.next(event)
  })
  cued(moving, events)
  moving
    .pipe(
      filter(({ command }) => command === null),
      bufferCount(batch),
    )
    .subscribe((run) =>
      sink.live(
        run.map(({ timeS }) => timeS),
        run.map(({ value }) => value),
        run.map(({ rateDegPerS }) => rateDegPerS),
        run.map(({ quality }) => quality),
      ),
    )
  const counts = raw.pipe(
    scan((count, { from }) => count + (from === 'device' ? 1 : 0), 0),
    bufferCount(batch),
  )
  counts.subscribe((run) => sink.counters(run.at(-1) ?? 0, 0))
  return (batchOfLines) => {
    for (const line of batchOfLines) lines.next(line)
  }
}

const decoded = (turns: { counts: number }) => (source: Observable<RawLine>) =>
  source.pipe(
    map(({ from, text, arrivalS }) => {
      const command = from === 'host' ? parseHostLine(text) : null
      const sample = { sequence: 0, tickUs: 0, counts: 0, flags: 0, second: null }
      if (from === 'device' && decodeSampleInto(text, sample)) return { arrivalS, command, sample }
      const other = from === 'device' ? decodeLine(text) : null
      if (other?.ok && other.sentence.kind === 'hello') turns.counts = other.sentence.countsPerTurn
      return { arrivalS, command, sample: null }
    }),
    filter(({ command, sample }) => command !== null || sample !== null),
  )

interface Read {
  readonly arrivalS: number
  readonly command: HostLine | null
  readonly sample: { readonly tickUs: number; readonly counts: number } | null
}

function timed() {
  const clock = newTickClock()
  return stage(({ arrivalS, command, sample }: Read): Value => {
    if (sample) takeTick(clock, sample.tickUs, arrivalS)
    return { timeS: clock.lastS, value: sample?.counts ?? 0, command }
  })
}

function unwrapped(turns: { counts: number }) {
  let last: { raw: number; counts: number } | null = null
  return stage(({ timeS, value, command }: Value): Value => {
    if (command) return { timeS, value, command }
    const step = last ? value - last.raw : 0
    const counts = last
      ? last.counts + step - turns.counts * Math.round(step / turns.counts)
      : value
    last = { raw: value, counts }
    return { timeS, value: counts, command }
  })
}

const scaled = (turns: { counts: number }) =>
  stage(({ timeS, value, command }: Value): Value => {
    return { timeS, value: (value * 360) / turns.counts, command }
  })

function guarded() {
  const window: number[] = []
  let last = { timeS: 0, deg: 0 }
  let held = 0
  return stage(({ timeS, value, command }: Value): Value => {
    if (command) return { timeS, value, command }
    const [older = value, old = value] = window
    const full = window.length === 2
    const middle = full
      ? Math.max(Math.min(older, old), Math.min(Math.max(older, old), value))
      : value
    const first = window.length === 0
    if (full) window.shift()
    window.push(value)
    if (!first && !(Math.abs(middle - last.deg) <= 720 * (timeS - last.timeS)) && held < 5) {
      held++
      return { timeS, value: last.deg, command }
    }
    held = 0
    last = { timeS, deg: middle }
    return { timeS, value: middle, command }
  })
}

function fromDatum() {
  const kept: { timeS: number; value: number }[] = []
  let datumDeg = 0
  let quality = 1
  return stage(({ timeS, value, command }: Value): Datumed => {
    if (command?.act === 'datum') {
      const last = kept.at(-1)?.timeS ?? 0
      const recent = kept.filter((sample) => sample.timeS >= last - 0.25)
      datumDeg = recent.reduceRight((sum, sample) => sum + sample.value, 0) / recent.length
      quality = 0
      return { timeS: last, value: 0, command, quality, takenDeg: datumDeg }
    }
    if (command === null) {
      if (kept.length === 256) kept.shift()
      kept.push({ timeS, value })
    }
    return { timeS, value: value - datumDeg, command, quality, takenDeg: null }
  })
}

function smoothed() {
  const motion = { deg: 0, degPerS: 0, varDeg: 0, covariance: 0, varDegPerS: 0 }
  let lastS = 0
  let moving = false
  return stage((value: Datumed): Moving => {
    if (value.takenDeg !== null) moving = false
    if (value.command) return { ...value, rateDegPerS: motion.degPerS }
    const stepS = value.timeS - lastS
    lastS = value.timeS
    if (moving && stepS >= 0 && stepS <= 1) stepMotion(motion, value.value, stepS, 0.03, 150)
    else
      Object.assign(motion, {
        deg: value.value,
        degPerS: 0,
        varDeg: 0.03 ** 2,
        covariance: 0,
        varDegPerS: 30 ** 2,
      })
    moving = true
    const { timeS, quality, takenDeg } = value
    return {
      timeS,
      value: motion.deg,
      rateDegPerS: motion.degPerS,
      command: null,
      quality,
      takenDeg,
    }
  })
}

function watched() {
  const cycle = newCycle()
  return (source: Observable<Datumed>) =>
    source.pipe(
      map(({ timeS, value, quality, command, takenDeg }) => {
        const found: CycleEvent[] = []
        const report = (event: CycleEvent) => found.push(event)
        if (command?.act === 'close') closeCycle(cycle, timeS, command.reason, report)
        if (takenDeg !== null) datumTaken(cycle, timeS, takenDeg, report)
        if (command === null)
          stepCycle(cycle, CYCLE_DEFAULTS, { timeS, angleDeg: value, quality }, report)
        return found
      }),
      filter((found) => found.length > 0),
    )
}

function cued(moving: Observable<Moving>, events: Observable<CycleEvent>): void {
  const cue = newStopCue()
  events.subscribe((event) => cueCycleEvent(cue, event))
  moving.subscribe(({ timeS, value, rateDegPerS, command }) => {
    if (command?.act === 'aim') setCueAim(cue, command)
    if (command === null) stepStopCue(cue, { timeS, angleDeg: value, rateDegPerS }, () => {})
  })
}
