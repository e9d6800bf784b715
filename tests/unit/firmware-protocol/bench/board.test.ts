import { describe, expect, it } from 'vitest'
import {
  advanceBoard,
  BOARD,
  type Board,
  type BoardSpec,
  bootBoard,
  isOn,
  type OutputName,
  pressPedal,
  skipAhead,
  takeLines,
  tellBoard,
} from '../../../../firmware-protocol/bench/board.ts'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import type { CommandSentence, Sentence } from '../../../../firmware-protocol/codec/sentence.ts'

const boot = (spec: Partial<BoardSpec> = {}): Board => bootBoard({ ...BOARD, driftPpm: 0, ...spec })

function run(board: Board, seconds: number, counts = 0): void {
  for (let step = Math.round(seconds * 1000); step > 0; step--)
    advanceBoard(board, 0.001, () => ({ counts, second: null }))
}

/** All that the board said since the last call; every line must be a sentence. */
function said(board: Board): Sentence[] {
  return takeLines(board).map((line) => {
    const decoded = decodeLine(line)
    if (!decoded.ok) throw new Error(`${line} is refused: ${decoded.reason}`)
    return decoded.sentence
  })
}

const samples = (board: Board) =>
  said(board).filter(({ kind }) => kind === 'sample') as Extract<Sentence, { kind: 'sample' }>[]

function tell(board: Board, command: CommandSentence): Sentence[] {
  takeLines(board)
  tellBoard(board, encodeSentence(command))
  return said(board)
}

const OK = (command: number) => ({ kind: 'answer', command, ok: true, reason: '' })

describe('a board that boots', () => {
  it('says first who it is', () => {
    expect(said(boot())).toEqual([
      {
        kind: 'hello',
        protocol: 1,
        firmware: 'bench-1',
        board: 'BENCH-0001',
        sensor: 'incremental',
        countsPerTurn: 16_384,
        rateHz: 200,
      },
    ])
  })

  it('then samples evenly, numbered from 0, marked as simulated', () => {
    const board = boot()
    said(board)
    run(board, 0.1, 77)
    const list = samples(board)
    expect(list.length).toBe(20)
    expect(list[0]).toEqual({
      kind: 'sample',
      sequence: 0,
      tickUs: 5000,
      counts: 77,
      flags: 8,
      second: null,
    })
    list.forEach(({ sequence, tickUs }, at) => {
      expect(sequence).toBe(at)
      expect(tickUs).toBeCloseTo(5000 * (at + 1), -1)
    })
  })

  it('and tells its state once a second', () => {
    const board = boot()
    run(board, 10.01)
    const states = said(board).filter(({ kind }) => kind === 'status')
    expect(states.length).toBe(10)
    expect(states[0]).toMatchObject({ flags: 8, supplyMv: 5000, overruns: 0, sensorErrors: 0 })
  })
})

describe('numbers that come round', () => {
  it('sequence: 65535 is followed by 0', () => {
    const board = boot({ rateHz: 1000 })
    board.sequence = 65_530
    run(board, 0.02)
    expect(
      samples(board)
        .map(({ sequence }) => sequence)
        .slice(4, 8),
    ).toEqual([65_534, 65_535, 0, 1])
  })

  it('tick: 2^32 is 0 again, and no sample is lost over it', () => {
    const board = boot({ bootTickUs: 2 ** 32 - 50_000 })
    run(board, 0.1)
    const ticks = samples(board).map(({ tickUs }) => tickUs)
    expect(ticks.length).toBe(20)
    ticks.slice(1).forEach((tick, at) => {
      expect((tick - ticks[at]! + 2 ** 32) % 2 ** 32).toBeCloseTo(5000, -1)
    })
    expect(ticks.at(-1)).toBeLessThan(60_000)
  })

  it.each([
    [40, 1_000_040],
    [-40, 999_960],
    [0, 1_000_000],
  ])('a clock %d ppm off shows it in a second', (driftPpm, tickUs) => {
    const board = boot({ driftPpm, rateHz: 1 })
    run(board, 1.001)
    expect(Math.abs(samples(board)[0]!.tickUs - tickUs)).toBeLessThanOrEqual(1001)
    run(board, 99)
    const afterS = samples(board).at(-1)!.tickUs / 1e6
    expect(afterS).toBeCloseTo(100 * (1 + driftPpm / 1e6), 2)
  })
})

describe('what the host asks', () => {
  it('identify: the answer first, the hello straight behind it', () => {
    const [answer, hello, ...rest] = tell(boot(), { kind: 'identify', command: 7 })
    expect(answer).toEqual(OK(7))
    expect(hello).toMatchObject({ kind: 'hello', board: 'BENCH-0001' })
    expect(rest).toEqual([])
  })

  it('a rate: acknowledged, then sampled at; the sequence goes on', () => {
    const board = boot()
    run(board, 0.05)
    expect(tell(board, { kind: 'set-rate', command: 8, rateHz: 50 })).toEqual([OK(8)])
    run(board, 1)
    const list = samples(board)
    expect(list.length).toBeGreaterThanOrEqual(50)
    expect(list.length).toBeLessThanOrEqual(51)
    expect(list[0]!.sequence).toBe(10)
    expect(tell(board, { kind: 'identify', command: 9 })[1]).toMatchObject({ rateHz: 50 })
  })

  it('the clock: the reply has the tick of now', () => {
    const board = boot()
    run(board, 2)
    expect(tell(board, { kind: 'clock-query', command: 10 })).toEqual([
      { kind: 'clock-reply', command: 10, receivedTickUs: 2_000_000, sentTickUs: 2_000_000 },
    ])
  })

  const put = (output: OutputName, on: boolean, timeToLiveMs: number): CommandSentence => ({
    kind: 'set-output',
    command: 11,
    output,
    on,
    timeToLiveMs,
  })

  it.each(['buzzer', 'lamp', 'relay'] as const)('the %s goes on, and off by itself', (output) => {
    const board = boot()
    expect(tell(board, put(output, true, 500))).toEqual([OK(11)])
    run(board, 0.49)
    expect(isOn(board, output)).toBe(true)
    run(board, 0.02)
    expect(isOn(board, output)).toBe(false)
  })

  it('an output goes off before its time when told to', () => {
    const board = boot()
    tell(board, put('lamp', true, 2000))
    tell(board, put('lamp', false, 1))
    expect(isOn(board, 'lamp')).toBe(false)
  })

  it('a heartbeat keeps on what is on, and puts nothing on', () => {
    const board = boot()
    tell(board, put('relay', true, 300))
    for (let beat = 0; beat < 10; beat++) {
      run(board, 0.2)
      expect(tell(board, { kind: 'heartbeat', command: 12 })).toEqual([OK(12)])
      expect(isOn(board, 'relay')).toBe(true)
      expect(isOn(board, 'buzzer')).toBe(false)
    }
    run(board, 0.31)
    tell(board, { kind: 'heartbeat', command: 13 })
    expect(isOn(board, 'relay')).toBe(false)
  })
})

describe('what is no command', () => {
  const refusal = (line: string): Sentence[] => {
    const board = boot()
    takeLines(board)
    tellBoard(board, line)
    return said(board)
  }

  it.each([
    ['nothing', ''],
    ['noise', '\u0000\u00ff~~~'],
    ['words', 'hello board'],
    ['a bad checksum', '$PXOBF,35,50,1234*00'],
    ['an unknown letter', '$PXOBK,34,DCAD*4B'],
    ['a sentence of a device', '$PXOBS,0,5000,0,0,,6278*68'],
    ['a hello', '$PXOBH,1,0.1.0,4F2A91,INC,4096,200,026B*63'],
    ['endless', '$PXOBI,'.repeat(100_000)],
  ])('%s is ignored', (_what, line) => {
    expect(refusal(line)).toEqual([])
  })

  it('but a whole one with a field that cannot be is refused with the reason', () => {
    // From the golden session of refused commands: 5000 ms is above what an output may have.
    expect(refusal('$PXOBO,33,LAMP,ON,5000,A5B5*71')).toEqual([
      { kind: 'answer', command: 33, ok: false, reason: 'bad field' },
    ])
  })
})

describe('the pedal', () => {
  it('counts in the sequence of the samples, and tells the counts of the edge', () => {
    const board = boot()
    said(board)
    run(board, 0.02)
    pressPedal(board, 'down', 41)
    run(board, 0.1)
    pressPedal(board, 'up', 42)
    const events = said(board).filter(({ kind }) => kind === 'event')
    expect(events).toMatchObject([
      { sequence: 4, input: 1, edge: 'down', counts: 41, tickUs: 20_000 },
      { sequence: 25, input: 1, edge: 'up', counts: 42, tickUs: 120_000 },
    ])
  })
})

describe('a host that is slow', () => {
  it('finds 4096 lines at most; the rest was left out whole and counted', () => {
    const board = boot({ rateHz: 1000 })
    run(board, 6)
    const list = said(board)
    expect(list.length).toBe(4096)
    run(board, 1)
    const state = said(board).find(({ kind }) => kind === 'status')
    // 6 s make a hello, 6000 samples and 6 states: 6007 − 4096 did not fit.
    expect(state).toMatchObject({ overruns: 6007 - 4096 })
  })

  it('that was away finds the numbers gone on', () => {
    const board = boot()
    run(board, 1)
    const before = samples(board).at(-1)!
    skipAhead(board, 10)
    run(board, 1.1)
    const after = said(board)
    const first = after.find(({ kind }) => kind === 'sample') as typeof before
    expect((first.sequence - before.sequence + 65_536) % 65_536).toBeGreaterThanOrEqual(2000)
    expect(first.tickUs - before.tickUs).toBeGreaterThanOrEqual(10_000_000)
    expect(after.find(({ kind }) => kind === 'status')).toMatchObject({ overruns: 2000 })
    expect(after.filter(({ kind }) => kind === 'sample').length).toBeLessThan(225)
  })
})
