import { SerialPort } from 'serialport'
import type { TestContext } from 'vitest'
import type { BoardPoint, SimulatedBoard } from '../../firmware-protocol/bench/simulated-board.ts'
import type { FirmwareChoice } from '../../firmware-protocol/bench/simulated-board-build.ts'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { makeLineSplitter } from '../../firmware-protocol/codec/line-splitter.ts'
import type { Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { until } from './daemon.ts'
import { plugInFirmware } from './firmware.ts'

/** Turns a board's encoder and presses its pedal by hand, at exact times; else it all stands still. */
export interface Hand {
  /** Each point so many microseconds behind the one before. @returns Their times. */
  move(...points: readonly (Omit<BoardPoint, 'atUs'> & { readonly afterUs: number })[]): number[]
  rest(): void
}

/** A host at the other end of the wire, that keeps every line. */
export interface FirmwareHost {
  readonly board: SimulatedBoard
  readonly hand: Hand
  /** Bytes as they came, one to one. */
  bytes(): string
  /** Every line so far that is a sentence, and `refused` for each that is none. */
  told(): readonly (Sentence | 'refused')[]
  send(...sentences: readonly Sentence[]): void
  sendBytes(bytes: string): void
  /** Waits for a sentence of a kind behind the `from`-th; gives it and where it stands. */
  hears<K extends Sentence['kind']>(
    kind: K,
    from?: number,
    isRight?: (sentence: Extract<Sentence, { kind: K }>) => boolean,
  ): Promise<{ sentence: Extract<Sentence, { kind: K }>; at: number }>
  /** Waits until the board's own time has gone on by so much. */
  lets(boardMs: number): Promise<void>
  close(): Promise<void>
}

/** The first hour of a board that stands still is told in small pieces, so that it can be moved at any time. */
const AHEAD_US = 40_000
const EVERY_MS = 5

export function makeHand(board: SimulatedBoard): Hand {
  let last: BoardPoint = { atUs: 0, counts: 0, pressed: false }
  const tell = (point: BoardPoint): void => {
    last = point
    board.moveTo(point)
  }
  const timer = setInterval(() => {
    const atUs = board.nowUs() + AHEAD_US
    if (atUs > last.atUs) tell({ ...last, atUs })
  }, EVERY_MS)
  return {
    move: (...points) =>
      points.map(({ afterUs, ...point }) => {
        tell({ ...last, ...point, atUs: last.atUs + afterUs })
        return last.atUs
      }),
    rest: () => clearInterval(timer),
  }
}

async function openPort(path: string): Promise<SerialPort> {
  const port = new SerialPort({ path, baudRate: 115_200, autoOpen: false })
  await new Promise<void>((resolve, reject) =>
    port.open((error) => (error ? reject(error) : resolve())),
  )
  return port
}

/** Opens a port and keeps what comes. */
export async function listenTo(path: string, onLine: (line: string) => void = () => undefined) {
  const port = await openPort(path)
  const lines: string[] = []
  let bytes = ''
  const splitter = makeLineSplitter((line) => {
    lines.push(line)
    onLine(line)
  })
  port.on('data', (chunk: Buffer) => {
    bytes += chunk.toString('latin1')
    splitter.push(chunk)
  })
  return {
    lines: (): readonly string[] => lines,
    bytes: () => bytes,
    write: (text: string): void => void port.write(Buffer.from(text, 'latin1')),
    close: (): Promise<void> =>
      new Promise((resolve) => (port.isOpen ? port.close(() => resolve()) : resolve())),
  }
}

/** Plugs a board in and opens its port; all ends with the test. */
export async function openFirmware(
  { onTestFinished }: Pick<TestContext, 'onTestFinished'>,
  choice: FirmwareChoice = {},
  name: string | undefined = 'TEST-1',
): Promise<FirmwareHost> {
  const board = await plugInFirmware(choice, name === '' ? undefined : name)
  onTestFinished(() => board.stop())
  const hand = makeHand(board)
  onTestFinished(hand.rest)
  const told: (Sentence | 'refused')[] = []
  const wire = await listenTo(board.tty, (line) => {
    const decoded = decodeLine(line)
    told.push(decoded.ok ? decoded.sentence : 'refused')
  })
  onTestFinished(wire.close)

  const host: FirmwareHost = {
    board,
    hand,
    bytes: wire.bytes,
    told: () => told,
    send: (...sentences) =>
      host.sendBytes(sentences.map((sentence) => `${encodeSentence(sentence)}\r\n`).join('')),
    sendBytes: wire.write,
    async hears(kind, from = 0, isRight = () => true) {
      type Wanted = Extract<Sentence, { kind: typeof kind }>
      const at = await until(
        async () =>
          told.findIndex(
            (line, place) =>
              place >= from && line !== 'refused' && line.kind === kind && isRight(line as Wanted),
          ),
        (place) => place >= 0,
        { seconds: 30, what: `a ${kind}` },
      )
      return { sentence: told[at] as Wanted, at }
    },
    async lets(boardMs) {
      const endUs = board.nowUs() + boardMs * 1000
      await until(
        async () => board.nowUs(),
        (nowUs) => nowUs >= endUs,
        { seconds: 60, what: `${boardMs} ms of the board` },
      )
    },
    close: wire.close,
  }
  return host
}
