import { decodeLine } from '../codec/decode.ts'
import { encodeSentence } from '../codec/encode.ts'
import type { CommandSentence, DeviceSentence, Sentence } from '../codec/sentence.ts'
import type { PedalEdge } from './motion.ts'
import type { SensorSpec } from './sensor.ts'
import type { AxesReading } from './tilt-sensor.ts'

export interface BoardSpec {
  readonly firmware: string
  /** The same after a reset, different on another board. */
  readonly board: string
  readonly sensor: SensorSpec['kind'] | 'accelerometer'
  readonly countsPerTurn: number
  readonly rateHz: number
  /** How much faster its clock runs than the true one, parts per million. */
  readonly driftPpm: number
  /** What its microsecond tick shows at boot: put it near 2^32 to see it wrap. */
  readonly bootTickUs: number
}

/** What a board reads at once: counts and perhaps a second channel, or three axes. */
export type BoardReading = { readonly counts: number; readonly second: number | null } | AxesReading

/** A board as a state machine. It has no clock of its own: time is handed in, and may only grow. */
export interface Board {
  readonly spec: BoardSpec
  /** True microseconds since boot, whole: sums of milliseconds must not drift by their rounding. */
  nowUs: number
  rateHz: number
  /** Samples and events share one count. */
  sequence: number
  nextSampleUs: number
  nextStatusUs: number
  overruns: number
  readonly outputs: Record<OutputName, { offAtUs: number; timeToLiveUs: number }>
  /** Lines that wait for the host, without their endings. */
  readonly lines: string[]
}

export type OutputName = 'buzzer' | 'lamp' | 'relay'

/** A crystal of a hobby board: tens of parts per million off. */
export const BOARD: BoardSpec = {
  firmware: 'bench-1',
  board: 'BENCH-0001',
  sensor: 'incremental',
  countsPerTurn: 16_384,
  rateHz: 200,
  driftPpm: 40,
  bootTickUs: 0,
}

const PROTOCOL = 1
const FLAG_SIMULATED = 1 << 3
const PEDAL_INPUT = 1
const SUPPLY_MV = 5000
const US_PER_S = 1e6
const STATUS_EVERY_US = US_PER_S
const TICK_WRAP = 2 ** 32
const SEQUENCE_WRAP = 2 ** 16
/** About 20 s of samples: whatever a host leaves longer is dropped whole and counted, as on a real board. */
const LINES_MAX = 4096
/** A command whose fields are wrong still says its number, and so can be refused. */
const COMMAND_NUMBER = /^\$PXOB[IFOBQ],(\d{1,5})[,*]/
const COMMAND_NUMBER_MAX = 65_535

/** Switches the board on: it says who it is. */
export function bootBoard(spec: BoardSpec): Board {
  const off = () => ({ offAtUs: 0, timeToLiveUs: 0 })
  const board: Board = {
    spec,
    nowUs: 0,
    rateHz: spec.rateHz,
    sequence: 0,
    nextSampleUs: US_PER_S / spec.rateHz,
    nextStatusUs: STATUS_EVERY_US,
    overruns: 0,
    outputs: { buzzer: off(), lamp: off(), relay: off() },
    lines: [],
  }
  sayHello(board)
  return board
}

/** Lets time pass; `read` is asked once when a sample is due. Call it at least once a sample. */
export function advanceBoard(board: Board, dtS: number, read: () => BoardReading): void {
  board.nowUs += Math.round(dtS * US_PER_S)
  if (board.nowUs >= board.nextSampleUs) {
    const periodUs = US_PER_S / board.rateHz
    // After a long gap the board goes on from now: it never makes up for samples it did not take.
    board.nextSampleUs = Math.max(board.nextSampleUs, board.nowUs - periodUs) + periodUs
    sayReading(board, read())
  }
  if (board.nowUs >= board.nextStatusUs) {
    board.nextStatusUs += STATUS_EVERY_US
    sayStatus(board)
  }
}

/** Time during which the host could not be served: samples are left out whole, counted and numbered. */
export function skipAhead(board: Board, dtS: number): void {
  const left = Math.floor(dtS * board.rateHz)
  board.nowUs += Math.round(dtS * US_PER_S)
  board.nextSampleUs = Math.max(board.nextSampleUs, board.nowUs)
  board.nextStatusUs = Math.max(board.nextStatusUs, board.nowUs)
  board.overruns += left
  board.sequence = (board.sequence + left) % SEQUENCE_WRAP
}

/** A pedal edge; the counts are those of this moment. */
export function pressPedal(board: Board, edge: PedalEdge, counts: number): void {
  const sequence = takeSequence(board)
  say(board, { kind: 'event', sequence, tickUs: tickUs(board), input: PEDAL_INPUT, edge, counts })
}

/** A line from the host. What is no command is ignored; what is half a command is refused. */
export function tellBoard(board: Board, line: string): void {
  const decoded = decodeLine(line)
  if (decoded.ok) {
    obey(board, decoded.sentence)
    return
  }
  if (decoded.reason !== 'bad field' && decoded.reason !== 'wrong field count') return
  const command = Number(COMMAND_NUMBER.exec(line)?.[1] ?? Number.NaN)
  if (command <= COMMAND_NUMBER_MAX) refuse(board, command, decoded.reason)
}

/** Whether an output is on now; it drops out by itself when its time to live is over. */
export const isOn = (board: Board, output: OutputName): boolean =>
  board.nowUs < board.outputs[output].offAtUs

/** Hands over the waiting lines, oldest first. */
export const takeLines = (board: Board): string[] => board.lines.splice(0)

/** A sentence of a device is nothing to obey, and gets no answer. */
function obey(board: Board, sentence: Sentence): void {
  switch (sentence.kind) {
    case 'clock-query':
      replyClock(board, sentence.command)
      return
    case 'identify':
      accept(board, sentence.command)
      sayHello(board)
      return
    case 'set-rate':
      board.rateHz = sentence.rateHz
      accept(board, sentence.command)
      return
    case 'set-output':
      setOutput(board, sentence)
      accept(board, sentence.command)
      return
    case 'heartbeat':
      renewOutputs(board)
      accept(board, sentence.command)
  }
}

type SetOutput = Extract<CommandSentence, { kind: 'set-output' }>

function setOutput(board: Board, { output, on, timeToLiveMs }: SetOutput): void {
  const timeToLiveUs = timeToLiveMs * 1000
  board.outputs[output] = { offAtUs: on ? board.nowUs + timeToLiveUs : board.nowUs, timeToLiveUs }
}

/** A heartbeat gives what is on its whole time again; it puts nothing on. */
function renewOutputs(board: Board): void {
  for (const output of Object.values(board.outputs))
    if (board.nowUs < output.offAtUs) output.offAtUs = board.nowUs + output.timeToLiveUs
}

function replyClock(board: Board, command: number): void {
  const nowUs = tickUs(board)
  say(board, { kind: 'clock-reply', command, receivedTickUs: nowUs, sentTickUs: nowUs })
}

const accept = (board: Board, command: number): void =>
  say(board, { kind: 'answer', command, ok: true, reason: '' })

const refuse = (board: Board, command: number, reason: string): void =>
  say(board, { kind: 'answer', command, ok: false, reason })

function sayHello(board: Board): void {
  const { firmware, board: serial, sensor, countsPerTurn } = board.spec
  const { rateHz } = board
  say(board, {
    kind: 'hello',
    protocol: PROTOCOL,
    firmware,
    board: serial,
    sensor,
    countsPerTurn,
    rateHz,
  })
}

function sayReading(board: Board, reading: BoardReading): void {
  const common = {
    sequence: takeSequence(board),
    tickUs: tickUs(board),
    flags: FLAG_SIMULATED,
    ...reading,
  }
  say(board, 'x' in common ? { kind: 'axes', ...common } : { kind: 'sample', ...common })
}

function sayStatus(board: Board): void {
  say(board, {
    kind: 'status',
    tickUs: tickUs(board),
    flags: FLAG_SIMULATED,
    supplyMv: SUPPLY_MV,
    overruns: board.overruns,
    sensorErrors: 0,
  })
}

function say(board: Board, sentence: DeviceSentence): void {
  if (board.lines.length < LINES_MAX) board.lines.push(encodeSentence(sentence))
  else board.overruns++
}

function takeSequence(board: Board): number {
  const sequence = board.sequence
  board.sequence = (sequence + 1) % SEQUENCE_WRAP
  return sequence
}

function tickUs({ spec, nowUs }: Board): number {
  const sinceBootUs = Math.floor(nowUs * (1 + spec.driftPpm / 1e6))
  return (spec.bootTickUs + sinceBootUs) % TICK_WRAP
}
