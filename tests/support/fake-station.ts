import { dieEncoderChain } from '../../server/blocks/shipped/die-encoder.ts'
import type { History } from '../../server/history/history.ts'
import type { BendTrace } from '../../server/messages/bends.ts'
import type { BenchAct, OperatorAct } from '../../server/messages/commands.ts'
import type {
  Cue,
  LinkState,
  LiveMessage,
  Phase,
  Result,
  StationState,
} from '../../server/messages/live.ts'
import type { OutputName } from '../../server/messages/output.ts'
import type { Axes } from '../../server/messages/readout.ts'
import type { Job, Setup, StoredSetup } from '../../server/messages/setup.ts'
import { SHIPPED } from '../../server/own-blocks/catalogue.ts'
import { ChainDesk } from '../../server/station/chain-desk.ts'
import { makeChainDoor } from '../../server/station/chain-door.ts'
import { startChain } from '../../server/station/chain-run.ts'
import { makeDaemonDoors } from '../../server/station/daemon-doors.ts'
import { ReadoutDesk } from '../../server/station/readout-desk.ts'
import { readoutNotices } from '../../server/station/readout-notices.ts'
import { makeShop } from '../../server/station/shop.ts'
import { makeSpringbackDoor } from '../../server/station/springback-door.ts'
import { wholeSetup } from '../../server/station/whole-setup.ts'
import { Refused, type StationDoor } from '../../server/web/station-door.ts'
import {
  ENDS_S,
  type GoPlan,
  momentAt,
  PHASE_ORDER,
  phaseAt,
  SHOP_JOB,
  SHOP_SETUP,
  seeded,
} from './fake-bend.ts'
import { makeFakeHistory } from './fake-history.ts'
import {
  aimFor,
  bendOf,
  FAKE_SOFTWARE,
  type Fault,
  linkState,
  noticesFor,
  resultOf,
} from './fake-state.ts'

const SAMPLE_S = 0.01
const SEATED_S = ENDS_S.seated - ENDS_S['no-datum']
const NOISE_DEG = 0.03
const LOT_SPRINGBACK_DEG = 3.4
/** Where the readout stands at the datum, and the encoder's counts a turn. */
const DATUM_DEG = 12.5
const COUNTS_PER_TURN = 16_384
const FIRST_GUESS_DEG = 2.2
/** A page drawn from 20 000 points is long enough for any test; older points make room. */
const TRACE_POINTS_MAX = 20_000

export interface FakeStation extends StationDoor {
  readonly history: History
  readonly doors: ReturnType<typeof makeDaemonDoors>
  /** Lets so many samples of 10 ms go by, at once. */
  step(samples: number): void
  /** Runs in real time until `stop`. */
  play(): void
  stop(): void
  /** Breaks something, or with null mends it. */
  fault(fault: Fault | null): void
  /** Says anything at all to whoever listens. */
  say(message: LiveMessage): void
  listeners(): number
  /** How often a page said that its output is to stay armed. */
  outputKept(): number
  /** Every act it was given and did not refuse, oldest first. */
  readonly acts: readonly (OperatorAct | BenchAct)[]
}

export interface FakeStationOptions {
  readonly seed?: number
  /** True: bend after bend with nobody there. False: it waits for datum and accept. */
  readonly auto?: boolean
  /** False: the first run, with no set-up and no job chosen. */
  readonly ready?: boolean
  readonly bench?: boolean
  readonly startedMs?: number
  /** What an accelerometer shows at rest, as it is at the moment; left out, there is none. */
  readonly gravity?: Axes
}

/**
 * A station with no chain and no wire behind it that plays a plausible stream of bends: 100 samples
 * a second, phases, cues, results, records in an array, and faults on demand.
 */
export function makeFakeStation(options: FakeStationOptions = {}): FakeStation {
  const { seed = 1, auto = true, ready = true, startedMs = Date.UTC(2026, 0, 5, 7) } = options
  const random = seeded(seed)
  const history = makeFakeHistory()
  const listeners = new Set<(message: LiveMessage) => void>()
  /** By number of their bend: an imported one has none. */
  const traces = new Map<number, BendTrace>()
  const traceOf = async (id: number): Promise<BendTrace | null> =>
    traces.get(id) ?? (history.bend(id) === null ? null : { tS: [], angleDeg: [] })
  const acts: (OperatorAct | BenchAct)[] = []
  let bench: StationState['bench'] =
    options.bench === false
      ? null
      : { mode: 'self', ram: 'hold', lot: SHOP_SETUP.tube.lot, ready: true }
  let setup: StoredSetup | null = ready ? history.addSetup(SHOP_SETUP) : null
  let job: Job | null = ready ? SHOP_JOB : null
  let fault: Fault | null = null
  let result: Result | null = null
  let samples = 0
  let nowS = 0
  let goS = 0
  let datumS: number | null = null
  let phase: Phase = 'no-datum'
  let cue: Cue = 'none'
  let peakDeg: number | null = null
  let goes: GoPlan[] = []
  let plan = planGo(0)
  let trace: BendTrace = { tS: [], angleDeg: [] }
  let timer: NodeJS.Timeout | null = null
  let outputArmed: OutputName | null = null
  let outputFollows: 'stop-cue' | 'chain' = 'stop-cue'
  // The real desk, so that pages meet the real refusals and a real log.
  const readout = new ReadoutDesk({
    history,
    clock: { nowS: () => nowS, wallMs: () => startedMs + 1000 * nowS },
    software: FAKE_SOFTWARE,
    moment: () => ({
      setup,
      phase,
      isOpen: PHASE_ORDER.indexOf(phase) > 1,
      device: { ...linkState(fault, samples).device, sensor: 'absolute' } as LinkState['device'],
      simulated: bench !== null,
      counts: COUNTS_PER_TURN,
      gravity: options.gravity ?? null,
      wantedDeg: job?.wantedDeg ?? null,
    }),
    recalibrated: () => sayState(),
    checked: () => sayState(),
  })
  if (setup !== null) readout.use(setup)
  // The real chain at rest: nothing of this station goes through it.
  const run = startChain(dieEncoderChain, SHIPPED.blocks, () => nowS, {
    live: () => undefined,
    readout: () => undefined,
    bend: () => undefined,
    device: () => undefined,
  })
  const clock = {
    nowS: () => nowS,
    wallMs: () => startedMs + 1000 * nowS,
    after: () => ({ cancel: () => undefined }),
  }
  const chain = makeChainDoor({
    clock,
    history,
    catalogue: SHIPPED,
    desk: new ChainDesk(
      { history, clock, software: FAKE_SOFTWARE, catalogue: SHIPPED },
      {
        sensor: () => SHOP_SETUP.sensor,
        desk: () => ({ isOpen: () => PHASE_ORDER.indexOf(phase) > 1, setup: () => setup }),
        changed: () => sayState(),
      },
    ),
    running: () => run,
  })
  const teaching = {
    retaught: () => sayState(),
    isBending: () => PHASE_ORDER.indexOf(phase) > 1,
  }
  const doors = makeDaemonDoors({
    history,
    clock: { wallMs: () => startedMs + 1000 * nowS },
    software: FAKE_SOFTWARE,
    teaching: () => [teaching],
    trace: traceOf,
    signing: () => null,
  })
  // So is what is known: made anew from the array each time it is asked for.
  const springback = makeSpringbackDoor(history, () => ({
    setup: () => setup,
    job: () => job,
    taught: () => ({ memory: makeShop(history).taught(bench !== null), simulated: bench !== null }),
  }))
  let outputKept = 0

  function aim() {
    const learned = history.count()
    const springbackDeg =
      LOT_SPRINGBACK_DEG + (FIRST_GUESS_DEG - LOT_SPRINGBACK_DEG) / (1 + learned)
    return aimFor(job ?? SHOP_JOB, springbackDeg, learned)
  }

  function planGo(fromDeg: number): GoPlan {
    const commandedDeg = result?.againDeg ?? aim().commandedDeg
    const peak = commandedDeg + 0.3 * (random() - 0.5)
    const beganS = fromDeg === 0 ? 0 : nowS - (datumS ?? nowS) - SEATED_S
    return { beganS, fromDeg, commandedDeg, peakDeg: peak, releasedDeg: peak - LOT_SPRINGBACK_DEG }
  }

  function link(): LinkState {
    const now = linkState(fault, samples)
    if (!(now.device && options.gravity)) return now
    return { ...now, device: { ...now.device, sensor: 'accelerometer' } }
  }

  function state(): StationState {
    return {
      station: setup?.setup.station ?? 'Bench bender',
      software: FAKE_SOFTWARE,
      simulated: bench !== null,
      link: link(),
      phase,
      cue,
      setup,
      job,
      aim: job && setup ? aim() : null,
      result,
      datumS,
      goNumber: goes.length + 1,
      peakDeg,
      uncertaintyDeg: 0.1,
      leadS: 0.2,
      verification: readout.inForce().check?.at ?? null,
      output: {
        armed: outputArmed,
        follows: outputArmed && outputFollows,
        isOn: false,
        trouble: null,
      },
      unsaved: fault === 'disk' ? 1 : 0,
      bench,
      notices: [...noticesFor(fault), ...readoutNotices(readout.inForce())],
    }
  }

  function say(message: LiveMessage) {
    for (const listener of listeners) listener(message)
  }

  const sayState = () => say({ type: 'state', state: state() })

  function refuse(sentence: string, code = 'not-now'): never {
    throw new Refused(code, sentence)
  }

  function nextBend() {
    goes = []
    goS = 0
    peakDeg = null
    plan = planGo(0)
  }

  function record(closedBy: string) {
    if (!setup || !job) return
    const stands = { stored: setup, job, goes, startedMs: startedMs + 1000 * nowS, closedBy }
    const chain = { chain: 'fake-chain-1', snapshot: '{}' }
    const lines = trace.tS.map((tS, i) => `${tS}\td\t${trace.angleDeg[i]?.toFixed(3)}`)
    const bend = history.append(bendOf(stands), { ...chain, lines })
    const firstS = trace.tS[0] ?? 0
    const tS = trace.tS.map((timeS) => Number((timeS - firstS).toFixed(3)))
    traces.set(bend.id, { ...trace, tS })
    result = result && { ...result, bendId: bend.id, againDeg: null }
    job = { ...job, piece: job.piece + 1 }
    nextBend()
  }

  function enter(next: Phase) {
    phase = next
    if (next === 'seated') {
      trace = { tS: [], angleDeg: [] }
      datumS = nowS
    }
    if (next === 'seated' || next === 'bending') result = null
    if (next === 'settled' && job) {
      goes = [...goes, plan]
      result = resultOf(job, plan)
    }
  }

  /** Unattended it goes on by itself; attended it waits where a person must speak. */
  function tick() {
    const waits = !(setup && job) || (!auto && (phase === 'no-datum' || phase === 'settled'))
    const end = phase === 'no-datum' || phase === 'settled' ? ENDS_S[phase] - SAMPLE_S : Infinity
    goS = waits ? Math.min(goS + SAMPLE_S, end) : goS + SAMPLE_S
    if (goS >= ENDS_S.settled) record('accepted')
    const now = phaseAt(goS)
    const before = `${phase} ${cue}`
    if (now !== phase) enter(now)
    return before
  }

  function remember(angleDeg: number) {
    if (phase === 'no-datum') return
    trace.tS.push(nowS)
    trace.angleDeg.push(angleDeg)
    if (trace.tS.length > TRACE_POINTS_MAX) {
      trace.tS.shift()
      trace.angleDeg.shift()
    }
    if (phase === 'bending' || phase === 'held') peakDeg = Math.max(peakDeg ?? 0, angleDeg)
  }

  function hearReadout(angleDeg: number) {
    const quality = [fault === 'uncertain' ? 1 : 0]
    readout.hearReadout({ timeS: [nowS], readoutDeg: [angleDeg + DATUM_DEG], quality })
    readout.hearAngle({ timeS: [nowS], angleDeg: [angleDeg], rateDegPerS: [0], quality, cue })
  }

  function stepOnce() {
    nowS = Number((nowS + SAMPLE_S).toFixed(3))
    if (fault === 'silent' || fault === 'garbled' || fault === 'lost') return
    const before = tick()
    const moment = momentAt(goS, plan)
    const rateDegPerS = (moment.angleDeg - momentAt(goS - SAMPLE_S, plan).angleDeg) / SAMPLE_S
    const noisyDeg = moment.angleDeg + NOISE_DEG * (random() - 0.5)
    // JSON knows no minus nought; adding nought takes the sign off.
    const angleDeg = Number(noisyDeg.toFixed(3)) + 0
    cue = moment.cue
    samples += 1
    remember(angleDeg)
    if (before !== `${phase} ${cue}`) sayState()
    hearReadout(angleDeg)
    say({
      type: 'samples',
      tS: [nowS],
      angleDeg: [angleDeg],
      rateDegPerS: [Number(rateDegPerS.toFixed(2))],
      quality: [fault === 'uncertain' ? 1 : 0],
      cue,
      omitted: 0,
    })
  }

  const moves: Record<OperatorAct['act'], () => void> = {
    datum() {
      if (!(setup && job)) refuse('Choose a set-up and a job first.', 'no-setup')
      if (phase !== 'no-datum' && phase !== 'seated')
        refuse('The tube is under load: let off first.')
      goS = ENDS_S['no-datum']
      enter('seated')
    },
    accept() {
      if (phase !== 'settled') refuse('There is no settled bend to accept.')
      record('accepted')
      enter('no-datum')
    },
    again() {
      if (phase !== 'settled') refuse('A second go can begin once the tube stands still.')
      const fromDeg = plan.releasedDeg
      plan = planGo(fromDeg)
      goS = ENDS_S.seated
      peakDeg = null
      enter('bending')
    },
    touch() {
      refuse('The die shows where the tube stands: there is no need to touch it.')
    },
    check() {
      if (phase !== 'settled') refuse('There is no settled bend to check.')
    },
    abandon() {
      if (phase === 'no-datum') refuse('There is no bend to give up.')
      record('abandoned')
      enter('no-datum')
    },
    pedal() {
      if (phase === 'settled') return moves.accept()
      moves.datum()
    },
  }

  return {
    history,
    acts,
    state,
    hello: () => ({ type: 'hello', state: state(), nowS, trace: structuredClone(trace) }),
    subscribe(listener) {
      listeners.add(listener)
      return () => void listeners.delete(listener)
    },
    act(act) {
      moves[act.act]()
      acts.push(act)
      sayState()
    },
    readout,
    teaching,
    doors,
    chain,
    springback,
    output: {
      arm({ output, follows = 'stop-cue' }) {
        if (fault === 'lost') refuse('No angle arrives: an output cannot be armed now.')
        outputArmed = output
        outputFollows = follows
        sayState()
      },
      keep() {
        if (outputArmed === null) refuse('No output is armed, so none can be kept so.')
        outputKept += 1
      },
      disarm() {
        outputArmed = null
        sayState()
      },
    },
    useSetup(chosen: Setup) {
      if (PHASE_ORDER.indexOf(phase) > 1) refuse('A bend is under way: finish it first.')
      setup = history.addSetup(wholeSetup(chosen))
      readout.use(setup)
      nextBend()
      sayState()
      return setup
    },
    useJob(chosen: Job) {
      if (PHASE_ORDER.indexOf(phase) > 1) refuse('A bend is under way: finish it first.')
      job = chosen
      nextBend()
      sayState()
    },
    bench(act) {
      if (!bench) refuse('There is no built-in bench: the lines come from a sensor.', 'no-bench')
      const { mode = bench.mode, ram = bench.ram } = act
      bench = { ...bench, mode, ram }
      acts.push(act)
      sayState()
    },
    trace: traceOf,
    step(count) {
      for (let i = 0; i < count; i++) stepOnce()
    },
    play() {
      timer ??= setInterval(stepOnce, 1000 * SAMPLE_S)
    },
    stop() {
      if (timer) clearInterval(timer)
      timer = null
    },
    fault(next) {
      fault = next
      sayState()
    },
    say,
    outputKept: () => outputKept,
    listeners: () => listeners.size,
  }
}
