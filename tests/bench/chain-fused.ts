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
import { parseHostLine } from '../../server/bend/host-line.ts'
import { cueCycleEvent, newStopCue, setCueAim, stepStopCue } from '../../server/bend/stop-cue.ts'
import { stepMotion } from '../../server/blocks/constant-velocity.ts'
import { newTickClock, takeTick } from '../../server/blocks/tick-clock.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'

/** What the fused loop and the RxJS pipeline hand out: as much as the chain's outlets do. */
export interface Sink {
  live(timeS: number[], angleDeg: number[], rateDegPerS: number[], quality: number[]): void
  event(event: CycleEvent): void
  raw(lines: RawLine[]): void
  counters(lines: number, samples: number): void
}

/**
 * The shipped chain as one loop written by hand for one purpose: the same arithmetic in the same order, its
 * memory in local variables, no columns between. It knows no gap, no bad flag and no restart, which do not
 * occur in the session: what is left out makes it faster, not the chain.
 */
export function fusedLoop(sink: Sink): (lines: readonly RawLine[]) => void {
  const sample = { sequence: 0, tickUs: 0, counts: 0, flags: 0, second: null as number | null }
  const clock = newTickClock()
  const cycle = newCycle()
  const cue = newStopCue()
  const motion = { deg: 0, degPerS: 0, varDeg: 0, covariance: 0, varDegPerS: 0 }
  const cycleSample = { timeS: 0, angleDeg: 0, quality: 0 }
  const cueSample = { timeS: 0, angleDeg: 0, rateDegPerS: 0 }
  const ringS = new Float64Array(256)
  const ringDeg = new Float64Array(256)
  let ringEnd = 0
  let turn = 0
  let sequence = -1
  let raw = 0
  let unwrapped = 0
  let seen = 0
  let older = 0
  let old = 0
  let lastDeg = 0
  let lastS = 0
  let held = 0
  let datumDeg = 0
  let best = 1
  let moving = false
  let smoothS = 0
  let lineCount = 0
  let sampleCount = 0

  const report = (event: CycleEvent) => {
    cueCycleEvent(cue, event)
    sink.event(event)
  }
  const ignore = () => {}

  function takeOther(line: RawLine): void {
    if (line.from === 'device') {
      const decoded = decodeLine(line.text)
      if (decoded.ok && decoded.sentence.kind === 'hello') turn = decoded.sentence.countsPerTurn
      return
    }
    const command = parseHostLine(line.text)
    if (command?.act === 'aim') setCueAim(cue, command)
    if (command?.act === 'close') closeCycle(cycle, clock.lastS, command.reason, report)
    if (command?.act === 'datum') takeDatum()
  }

  function takeDatum(): void {
    const timeS = ringS[(ringEnd - 1) % 256] as number
    let sumDeg = 0
    let count = 0
    for (let value = ringEnd - 1; value >= Math.max(0, ringEnd - 256); value--) {
      if (count > 0 && !((ringS[value % 256] as number) >= timeS - 0.25)) break
      sumDeg += ringDeg[value % 256] as number
      count++
    }
    datumDeg = sumDeg / count
    best = 0
    moving = false
    datumTaken(cycle, timeS, datumDeg, report)
  }

  return function run(lines) {
    const timeS: number[] = []
    const angleDeg: number[] = []
    const rateDegPerS: number[] = []
    const quality: number[] = []
    const kept: RawLine[] = []
    for (const line of lines) {
      kept.push(line)
      if (line.from === 'device') lineCount++
      if (line.from !== 'device' || !decodeSampleInto(line.text, sample)) {
        takeOther(line)
        continue
      }
      if (sequence >= 0 && sample.sequence !== (sequence + 1) % 65_536) throw new Error('a gap')
      sequence = sample.sequence
      sampleCount++
      takeTick(clock, sample.tickUs, line.arrivalS)

      const step = sample.counts - raw
      unwrapped =
        sampleCount === 1 ? sample.counts : unwrapped + step - turn * Math.round(step / turn)
      raw = sample.counts
      const readDeg = (unwrapped * 360) / turn

      let middleDeg = readDeg
      if (seen >= 2)
        middleDeg = Math.max(Math.min(older, old), Math.min(Math.max(older, old), readDeg))
      else seen++
      older = old
      old = readDeg
      let readoutDeg = middleDeg
      if (seen > 1 && !(Math.abs(middleDeg - lastDeg) <= 720 * (clock.lastS - lastS)) && held < 5) {
        held++
        readoutDeg = lastDeg
      } else {
        held = 0
        lastDeg = middleDeg
        lastS = clock.lastS
      }

      ringS[ringEnd % 256] = clock.lastS
      ringDeg[ringEnd % 256] = readoutDeg
      ringEnd++
      const fromDatumDeg = readoutDeg - datumDeg

      const stepS = clock.lastS - smoothS
      smoothS = clock.lastS
      if (moving && stepS >= 0 && stepS <= 1) stepMotion(motion, fromDatumDeg, stepS, 0.03, 150)
      else {
        moving = true
        motion.deg = fromDatumDeg
        motion.degPerS = 0
        motion.varDeg = 0.03 ** 2
        motion.covariance = 0
        motion.varDegPerS = 30 ** 2
      }

      cycleSample.timeS = clock.lastS
      cycleSample.angleDeg = fromDatumDeg
      cycleSample.quality = best
      stepCycle(cycle, CYCLE_DEFAULTS, cycleSample, report)
      cueSample.timeS = clock.lastS
      cueSample.angleDeg = motion.deg
      cueSample.rateDegPerS = motion.degPerS
      stepStopCue(cue, cueSample, ignore)

      timeS.push(clock.lastS)
      angleDeg.push(motion.deg)
      rateDegPerS.push(motion.degPerS)
      quality.push(best)
    }
    sink.live(timeS, angleDeg, rateDegPerS, quality)
    sink.raw(kept)
    sink.counters(lineCount, sampleCount)
  }
}
