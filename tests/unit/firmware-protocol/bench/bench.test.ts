import { describe, expect, it } from 'vitest'
import { makeBench } from '../../../../firmware-protocol/bench/bench.ts'
import { makeDevice } from '../../../../firmware-protocol/bench/device.ts'
import type { Prompt } from '../../../../firmware-protocol/bench/prompt.ts'
import { playScript } from '../../../../firmware-protocol/bench/scripted.ts'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import type { SampleSentence, Sentence } from '../../../../firmware-protocol/codec/sentence.ts'

const BEND: Prompt = {
  phase: 'bending',
  cue: 'bend',
  verdict: null,
  againDeg: null,
  hasJob: true,
}

function decode(line: string): Sentence {
  const decoded = decodeLine(line)
  if (!decoded.ok) throw new Error(`${line} is refused: ${decoded.reason}`)
  return decoded.sentence
}

const samplesOf = (lines: readonly string[]): SampleSentence[] =>
  lines.map(decode).filter((sentence): sentence is SampleSentence => sentence.kind === 'sample')

function run(bench: ReturnType<typeof makeBench>, seconds: number, tickS = 0.005): string[] {
  const lines: string[] = []
  for (let t = 0; t < seconds - tickS / 2; t += tickS) lines.push(...bench.advance(tickS))
  return lines
}

describe('the bench', () => {
  it('speaks the protocol: every line of a minute of bending is a sentence (seed 1)', () => {
    const bench = makeBench({ seed: 1 })
    bench.show(BEND)
    const lines = run(bench, 60)
    const kinds = new Map<string, number>()
    for (const { kind } of lines.map(decode)) kinds.set(kind, (kinds.get(kind) ?? 0) + 1)
    expect(kinds.get('hello')).toBe(1)
    expect(kinds.get('sample')).toBe(12_000)
    expect(kinds.get('status')).toBeGreaterThanOrEqual(59)
    expect(kinds.get('event')).toBeGreaterThanOrEqual(2)
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80)
  })

  it('gives the same lines for the same seed, and others for another', () => {
    const lines = (seed: number): string[] => {
      const bench = makeBench({ seed })
      bench.show(BEND)
      return run(bench, 20)
    }
    expect(lines(3)).toEqual(lines(3))
    expect(lines(4)).not.toEqual(lines(3))
  })

  it('does not depend on how time was cut into pieces', () => {
    const lines = (tickS: number): string[] => {
      const bench = makeBench({ seed: 5 })
      bench.show(BEND)
      return run(bench, 12, tickS)
    }
    const fine = lines(0.001)
    expect(lines(0.005)).toEqual(fine)
    expect(lines(0.1)).toEqual(fine)
    expect(lines(2)).toEqual(fine)
  })

  it('owes no step for times that are no whole milliseconds', () => {
    const bench = makeBench({ seed: 6 })
    let samples = 0
    for (let tick = 0; tick < 3000; tick++) samples += samplesOf(bench.advance(1 / 300)).length
    expect(samples).toBe(2000)
  })

  it.each([-0.001, Number.NaN, 3601, Number.POSITIVE_INFINITY])(
    'refuses to advance by %d s',
    (dtS) => {
      expect(() => makeBench({ seed: 1 }).advance(dtS)).toThrow('advances by 0 to 3600 s')
    },
  )

  it.each([1, 50, 1000])('samples at %d Hz when told to be such a board', (rateHz) => {
    const bench = makeBench({ seed: 1, board: { rateHz } })
    const count = samplesOf(run(bench, 10)).length
    expect(count).toBeGreaterThanOrEqual(10 * rateHz - 1)
    expect(count).toBeLessThanOrEqual(10 * rateHz)
  })

  it('answers the host', () => {
    const bench = makeBench({ seed: 1 })
    bench.advance(0)
    bench.receive('$PXOBI,1,1,21BA*60')
    expect(bench.advance(0).map((line) => decode(line).kind)).toEqual(['answer', 'hello'])
  })
})

describe('the angle on the wire is the angle of the die', () => {
  const SEGMENTS = [
    { holdS: 0.5 },
    { moveToDeg: 32, rateDegPerS: 8 },
    { holdS: 1 },
    { letOffDeg: 1.2, tauS: 0.05 },
    { holdS: 2 },
  ]
  const mean = (values: readonly number[]): number =>
    values.reduce((a, b) => a + b, 0) / values.length

  it.each([1, 2, 3])('taken to 32.0, stands at 30.8 (seed %d)', (seed) => {
    const device = makeDevice({ seed }, playScript(SEGMENTS))
    const angles = samplesOf(device.advance(8)).map(({ counts }) => (counts * 360) / 16_384)
    const restDeg = mean(angles.slice(10, 90))
    const heldDeg = mean(angles.slice(920, 1080)) - restDeg
    const standsDeg = mean(angles.slice(1300, 1500)) - restDeg
    // 160 samples of 0.026° each, noise and quantum: standard error 0.003° with the zero's.
    expect(Math.abs(heldDeg - 32)).toBeLessThan(0.015)
    expect(Math.abs(standsDeg - 30.8)).toBeLessThan(0.015)
  })

  it('has noise of 0.02° to 0.03° at rest', () => {
    const device = makeDevice({ seed: 9 }, playScript([]))
    const angles = samplesOf(device.advance(20)).map(({ counts }) => (counts * 360) / 16_384)
    const centre = mean(angles)
    const sd = Math.sqrt(mean(angles.map((deg) => (deg - centre) ** 2)))
    expect(sd).toBeGreaterThan(0.02)
    expect(sd).toBeLessThan(0.032)
  })

  it('an absolute encoder of another size says so in its hello', () => {
    const sensor = { kind: 'absolute', countsPerTurn: 4096 } as const
    const device = makeDevice({ seed: 2, sensor }, playScript(SEGMENTS))
    const lines = device.advance(8)
    expect(decode(lines[0]!)).toMatchObject({ sensor: 'absolute', countsPerTurn: 4096 })
    for (const { counts } of samplesOf(lines)) {
      expect(counts).toBeGreaterThanOrEqual(0)
      expect(counts).toBeLessThan(4096)
    }
  })

  it('an incremental one starts from wherever it was switched on', () => {
    const starts = [1, 2, 3, 4].map(
      (seed) => samplesOf(makeDevice({ seed }, playScript([])).advance(0.01))[0]!.counts,
    )
    expect(new Set(starts).size).toBe(4)
  })
})
