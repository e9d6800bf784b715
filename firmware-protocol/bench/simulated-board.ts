import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import type { OutputName } from './board.ts'
import type { Motion, PedalEdge } from './motion.ts'
import type { ReadCounts } from './sensor.ts'

/** An output of the board has changed. */
interface PinChange {
  readonly atUs: number
  readonly output: OutputName
  readonly on: boolean
}

/** A line that the firmware has sent. */
interface LineSent {
  /** When its last byte was given to the transmitter, simulated microseconds. */
  readonly atUs: number
  /** When it was on the terminal, microseconds of the machine's monotonic clock, `process.hrtime`. */
  readonly wallUs: number
  readonly text: string
}

/** Where sensor and pedal stand at a time; in between they move evenly. */
export interface BoardPoint {
  readonly atUs: number
  readonly counts: number
  readonly pressed: boolean
  /** For an accelerometer, −32768 to 32767 each. */
  readonly axes?: readonly [x: number, y: number, z: number]
}

/** What can be done to a board from outside; `on-open` is what opening its port does. */
type BoardOrder =
  | `sensor ${'good' | 'weak' | 'error' | 'absent'}`
  | `supply ${number}`
  | 'reset'
  | `on-open ${'keep' | 'reset'}`
  | 'tell-lines'

/** The real firmware in a simulated controller, in real time. */
export interface SimulatedBoard {
  /** What a host opens as its serial port. */
  readonly tty: string
  /** Simulated microseconds; they never pass the last point that was told. */
  nowUs(): number
  /** Points must be told in order of time, and ahead of it. */
  moveTo(point: BoardPoint): void
  order(order: BoardOrder): void
  /** What the outputs did so far, oldest first; at its start the board switches each of them off. */
  pins(): readonly PinChange[]
  /** Starts of the firmware, at which simulated microsecond each; the first is not among them. */
  resetsUs(): readonly number[]
  /** What was sent since `tell-lines`, oldest first. */
  lines(): readonly LineSent[]
  /** Where simulated time is 0 on the clock of `wallUs`; NaN before it began. It moves after a long stall only. */
  zeroUs(): number
  /** The deepest the firmware's stack ever was, bytes. */
  stackBytes(): Promise<number>
  stop(): Promise<void>
}

export interface SimulatedBoardSpec {
  /** From `buildSimulatedBoard` and `buildFirmware`. */
  readonly program: string
  readonly elf: string
  /** Serial number in its EEPROM; without one the firmware draws a number. */
  readonly name?: string
}

const US_PER_MS = 1000
/** Model and board advance together, the model this much ahead: less than a person notices. */
const AHEAD_US = 40 * US_PER_MS
const FEED_EVERY_MS = 5
const STEP_S = 0.001
const STEP_US = 1000
/** Nobody presses shorter than this; a script may say down and up in one breath. */
const PEDAL_HOLDS_US = 50 * US_PER_MS

/** Starts it. It stands at 0 until the first points are told. */
export async function startSimulatedBoard(spec: SimulatedBoardSpec): Promise<SimulatedBoard> {
  const { program, elf, name } = spec
  const child = spawn(program, name === undefined ? [elf] : [elf, name], {
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  endWithThisProcess(child)
  child.stdin.on('error', () => undefined)
  const told = listen(child)
  const tty = await told.tty
  const write = (line: string): void => void child.stdin.write(`${line}\n`)
  return {
    tty,
    nowUs: () => told.nowUs,
    moveTo: ({ atUs, counts, pressed, axes }) =>
      write([atUs, counts, pressed ? 1 : 0, ...(axes ?? [])].join(' ')),
    order: write,
    pins: () => told.pins,
    resetsUs: () => told.resetsUs,
    lines: () => told.lines,
    zeroUs: () => told.zeroUs,
    async stackBytes() {
      const answer = new Promise<number>((resolve) => {
        told.onStack = resolve
      })
      write('stack')
      return await answer
    },
    async stop() {
      if (child.exitCode !== null) return
      child.stdin.end()
      await once(child, 'exit')
    },
  }
}

function endWithThisProcess(child: ChildProcess): void {
  const end = (): void => void child.kill()
  process.once('exit', end)
  child.once('exit', () => process.off('exit', end))
}

interface Told {
  readonly tty: Promise<string>
  nowUs: number
  readonly pins: PinChange[]
  readonly resetsUs: number[]
  readonly lines: LineSent[]
  zeroUs: number
  onStack(bytes: number): void
}

/** Takes what the program tells; its grammar stands at the head of simulated-board/main.c. */
function listen(child: ChildProcess): Told {
  if (child.stdout === null) throw new Error('The simulated board has no standard output.')
  let foundTty: (name: string) => void = () => undefined
  const named = new Promise<string>((resolve) => {
    foundTty = resolve
  })
  const ended = once(child, 'exit').then(([code]): never => {
    throw new Error(`The simulated board ended with ${code} before it began.`)
  })
  const told: Told = {
    tty: Promise.race([named, ended]),
    nowUs: 0,
    pins: [],
    resetsUs: [],
    lines: [],
    zeroUs: Number.NaN,
    onStack: () => undefined,
  }
  ended.catch(() => undefined)
  createInterface({ input: child.stdout }).on('line', (line) => {
    const [word, first = '', output, ...rest] = line.split(' ')
    if (word === 'at') told.nowUs = Number(first)
    else if (word === 'tty') foundTty(first)
    else if (word === 'reset') told.resetsUs.push(Number(first))
    else if (word === 'stack') told.onStack(Number(first))
    else if (word === 'zero') told.zeroUs = Number(first)
    else if (word === 'line')
      told.lines.push({ atUs: Number(first), wallUs: Number(output), text: rest.join(' ') })
    else if (word === 'pin')
      told.pins.push({ atUs: Number(first), output: output as OutputName, on: rest[0] === '1' })
  })
  return told
}

/**
 * Lets a motion turn the board's encoder and work its pedal, in step with the board's own time.
 *
 * @param onStep Called after each millisecond of the model.
 * @returns Ends it; the board then stands still where it is.
 */
export function driveBoard(
  board: SimulatedBoard,
  motion: Motion,
  read: ReadCounts,
  onStep: () => void = () => undefined,
): () => void {
  const edges: PedalEdge[] = []
  let atUs = board.nowUs()
  let pressed = false
  let pedalFreeUs = atUs
  const timer = setInterval(() => {
    for (const untilUs = board.nowUs() + AHEAD_US; atUs < untilUs; ) {
      atUs += STEP_US
      motion.advance(STEP_S)
      onStep()
      edges.push(...motion.takePedal())
      if (edges.length > 0 && atUs >= pedalFreeUs) {
        pressed = edges.shift() === 'down'
        pedalFreeUs = atUs + PEDAL_HOLDS_US
      }
      board.moveTo({ atUs, counts: read(motion.angleDeg()), pressed })
    }
  }, FEED_EVERY_MS)
  return () => clearInterval(timer)
}
