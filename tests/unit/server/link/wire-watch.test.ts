import { describe, expect, it } from 'vitest'
import {
  judgeWire,
  noteBytes,
  noteJudged,
  noteLines,
  silentForS,
  type WireWatch,
  watchWire,
} from '../../../../server/link/wire-watch.ts'

const START_S = 100

/** Lets time go by in quarter seconds, with so much on the wire each time. */
function pass(
  watch: WireWatch,
  fromS: number,
  seconds: number,
  each: { bytes?: number; lines?: number; good?: number; refused?: number },
): WireWatch['verdict'][] {
  const verdicts: WireWatch['verdict'][] = []
  for (let quarter = 1; quarter <= seconds * 4; quarter++) {
    const nowS = fromS + quarter / 4
    if (each.bytes) noteBytes(watch, nowS, each.bytes)
    if (each.lines) noteLines(watch, each.lines)
    if (each.good || each.refused) noteJudged(watch, each.good ?? 0, each.refused ?? 0)
    verdicts.push(judgeWire(watch, nowS))
  }
  return verdicts
}

const GOOD = { bytes: 1600, lines: 50, good: 50 }
const GARBAGE = { bytes: 2000 }

describe('an open wire', () => {
  it('waits at first, and lives with its first good line', () => {
    const watch = watchWire(START_S)
    expect(watch.verdict).toBe('waiting')
    noteBytes(watch, START_S + 0.1, 34)
    noteLines(watch, 1)
    expect(judgeWire(watch, START_S + 0.1)).toBe('waiting')
    noteJudged(watch, 1, 0)
    expect(watch.verdict).toBe('live')
  })

  it('lives on as long as lines come', () => {
    expect(new Set(pass(watchWire(START_S), START_S, 60, GOOD))).toEqual(new Set(['live']))
  })

  it('has 3 s for a board that boots when the port opens', () => {
    const verdicts = pass(watchWire(START_S), START_S, 4, {})
    expect(verdicts.slice(0, 11)).toEqual(new Array(11).fill('waiting'))
    expect(verdicts[11]).toBe('silent')
  })

  it('is silent after 2 s without a byte', () => {
    const watch = watchWire(START_S)
    pass(watch, START_S, 10, GOOD)
    const verdicts = pass(watch, START_S + 10, 3, {})
    expect(verdicts.slice(0, 7)).toEqual(new Array(7).fill('live'))
    expect(verdicts.slice(7)).toEqual(new Array(5).fill('silent'))
    expect(silentForS(watch, START_S + 13)).toBeCloseTo(3, 9)
  })

  it('wakes from silence: waiting with the first byte, live with the first good line', () => {
    const watch = watchWire(START_S)
    pass(watch, START_S, 10, {})
    noteBytes(watch, START_S + 10.1, 5)
    expect(watch.verdict).toBe('waiting')
    noteJudged(watch, 1, 0)
    expect(watch.verdict).toBe('live')
  })
})

describe('a wrong baud rate', () => {
  it.each([
    ['without a single line end', GARBAGE],
    ['with lines that are all refused', { bytes: 2000, lines: 9, refused: 9 }],
    ['with a good line by chance among 20', { bytes: 2000, lines: 20, good: 1, refused: 19 }],
    ['as slow as 300 baud', { bytes: 8 }],
  ])('is garbled within 2 to 4 s: %s', (_what, each) => {
    const verdicts = pass(watchWire(START_S), START_S, 4, each)
    expect(verdicts.at(-1)).toBe('garbled')
    expect(verdicts.slice(0, 6)).not.toContain('garbled')
  })

  it('is told from silence: bytes come', () => {
    expect(pass(watchWire(START_S), START_S, 20, GARBAGE)).not.toContain('silent')
    expect(pass(watchWire(START_S), START_S, 20, {})).not.toContain('garbled')
  })

  it('shows on a wire that was good before', () => {
    const watch = watchWire(START_S)
    pass(watch, START_S, 10, GOOD)
    expect(pass(watch, START_S + 10, 5, GARBAGE).at(-1)).toBe('garbled')
  })

  it('is over when good lines come', () => {
    const watch = watchWire(START_S)
    pass(watch, START_S, 10, GARBAGE)
    expect(pass(watch, START_S + 10, 4.5, GOOD).at(-1)).toBe('live')
  })

  it('that ends in silence is silence', () => {
    const watch = watchWire(START_S)
    pass(watch, START_S, 10, GARBAGE)
    expect(pass(watch, START_S + 10, 3, {}).at(-1)).toBe('silent')
  })
})

describe('what is not garbled', () => {
  it.each([
    [
      'a bad cable that spoils every second line',
      { bytes: 1600, lines: 50, good: 25, refused: 25 },
    ],
    ['one that spoils three of four', { bytes: 1600, lines: 40, good: 10, refused: 30 }],
  ])('%s', (_what, each) => {
    expect(new Set(pass(watchWire(START_S), START_S, 20, each))).toEqual(new Set(['live']))
  })

  it('a few bytes of a plug being pushed in', () => {
    const watch = watchWire(START_S)
    noteBytes(watch, START_S + 0.5, 20)
    expect(pass(watch, START_S + 0.5, 1.75, {})).not.toContain('garbled')
  })

  it('lines that nobody has judged yet', () => {
    expect(pass(watchWire(START_S), START_S, 10, { bytes: 1600, lines: 50 })).not.toContain(
      'garbled',
    )
  })
})

describe('lines of another sensor on the same wire', () => {
  const verdictsOf = (good: number, foreign: number, refused = 0) => {
    const watch = watchWire(START_S)
    const verdicts: string[] = []
    for (let quarter = 1; quarter <= 40; quarter++) {
      const nowS = START_S + quarter / 4
      noteBytes(watch, nowS, 200)
      noteLines(watch, good + foreign + refused)
      noteJudged(watch, good, refused, foreign)
      verdicts.push(judgeWire(watch, nowS))
    }
    return verdicts
  }
  it('do no harm beside good ones, however many they are', () => {
    expect(verdictsOf(1, 20)).not.toContain('garbled')
    expect(verdictsOf(1, 20).at(-1)).toBe('live')
  })
  it('alone are not what was asked for', () => {
    expect(verdictsOf(0, 5).at(-1)).toBe('garbled')
  })
  it('do not excuse damaged ones', () => {
    expect(verdictsOf(1, 20, 4).at(-1)).toBe('garbled')
  })
})
