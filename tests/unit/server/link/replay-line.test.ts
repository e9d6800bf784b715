import { describe, expect, it } from 'vitest'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { makeReplayClock, readReplayLine } from '../../../../server/link/replay-line.ts'

const sample = (tickUs: number): string =>
  encodeSentence({ kind: 'sample', sequence: 0, tickUs, counts: 0, flags: 0, second: null })

describe('a line of a replayed file', () => {
  it.each([
    ['12.5\td\t$A', { recordedS: 12.5, from: 'device', text: '$A' }],
    ['12\th\tdatum', { recordedS: 12, from: 'host', text: 'datum' }],
    ['1.5e-7\td\tx', { recordedS: 1.5e-7, from: 'device', text: 'x' }],
    ['0\td\ta\tb', { recordedS: 0, from: 'device', text: 'a\tb' }],
    ['$PXOBS,1', { recordedS: null, from: 'device', text: '$PXOBS,1' }],
    ['12.5\tx\tdatum', { recordedS: null, from: 'device', text: '12.5\tx\tdatum' }],
    ['-3\td\tx', { recordedS: null, from: 'device', text: '-3\td\tx' }],
    ['12.5', { recordedS: null, from: 'device', text: '12.5' }],
  ])('%j', (line, wanted) => {
    expect(readReplayLine(line)).toEqual(wanted)
  })

  it.each(['', '5\td\t', 'x'.repeat(257), `5\td\t${'x'.repeat(257)}`])(
    'is left out: %j',
    (line) => {
      expect(readReplayLine(line)).toBeNull()
    },
  )

  it('may be as long as any line', () => {
    expect(readReplayLine(`5\td\t${'x'.repeat(256)}`)?.text.length).toBe(256)
  })
})

describe('the time of replayed lines', () => {
  const arrivals = (lines: readonly string[]): number[] => {
    const clock = makeReplayClock(1000)
    return lines.map((line) => clock(readReplayLine(line)!))
  }

  it('keeps recorded distances, from now on', () => {
    expect(arrivals(['50\td\ta', '50.25\th\tb', '53\td\tc'])).toEqual([1000, 1000.25, 1003])
  })

  it('never goes back', () => {
    expect(arrivals(['50\td\ta', '49\td\tb', '51\td\tc'])).toEqual([1000, 1000, 1001])
  })

  it('follows the tick of plain samples, over its wrap', () => {
    const lines = [sample(2 ** 32 - 5000), sample(0), sample(5000), sample(15_000)]
    expect(arrivals(lines).map((s) => Number((s - 1000).toFixed(6)))).toEqual([
      0, 0.005, 0.01, 0.02,
    ])
  })

  it('does not wait for a tick that a reset put back', () => {
    for (const beforeUs of [4_000_000_000, 60_000_000, 6000])
      expect(arrivals([sample(beforeUs), sample(5000), sample(10_000)]).at(-1)).toBeCloseTo(
        1000.005,
        6,
      )
  })

  it('does not sit through a hole of more than a minute', () => {
    expect(arrivals([sample(0), sample(59_000_000)])[1]).toBe(1059)
    expect(arrivals([sample(0), sample(61_000_000), sample(61_005_000)])[2]).toBeCloseTo(1000.005)
  })

  it('lets other native sentences come with the line before them', () => {
    const hello = encodeSentence({ kind: 'answer', command: 1, ok: true, reason: '' })
    expect(arrivals([sample(0), hello, sample(5000)])).toEqual([1000, 1000, 1000.005])
  })

  it('gives lines without any time at 200 a second', () => {
    expect(arrivals(['12.5', '12.6', '12.7'])[2]).toBeCloseTo(1000.015, 9)
  })
})
