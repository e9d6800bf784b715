import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../../firmware-protocol/bench/random.ts'
import type { BendMessage } from '../../../../../server/blocks/bend-record.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import type { LiveRun } from '../../../../../server/blocks/live-feed.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { withSensor } from '../../../../../server/blocks/shipped/with-sensor.ts'
import { type Chain, compileChain } from '../../../../../server/chain/chain.ts'
import type { RawLine } from '../../../../../server/chain/raw-line.ts'
import { COUNTS_PER_TURN, fromDevice, fromHost, helloText, sampleText } from '../wire.ts'

const KNEES = [
  [0, 350],
  [1, 350],
  [5, 350 + 92],
  [6, 350 + 92],
  [6.3, 350 + 89.5],
  [8.5, 350 + 89.5],
  [9.5, 350],
  [10, 350],
] as const
const RATE_HZ = 200

/** A whole bend through the seam of an absolute encoder: noise, jitter, lost and damaged lines and all. */
function session(seed: number, sensor: 'absolute' | 'incremental' = 'absolute'): RawLine[] {
  const random = makeRandom(seed, 'session')
  const lines = [fromDevice(helloText({ sensor }), 99.9)]
  for (let nth = 0; nth < 10 * RATE_HZ; nth++) {
    const timeS = nth / RATE_HZ
    const turns = (angleAt(timeS) + 0.02 * random.normal()) / 360
    const counts = Math.round(turns * COUNTS_PER_TURN)
    const text = sampleText({
      sequence: nth,
      tickUs:
        4_294_000_000 + nth * 5000 > 4_294_967_295
          ? nth * 5000 - 967_296
          : 4_294_000_000 + nth * 5000,
      counts: sensor === 'absolute' ? counts % COUNTS_PER_TURN : counts,
    })
    const arrivalS = 100 + timeS + 0.001 + random.between(0, 0.002)
    const chance = random.between(0, 1)
    if (chance > 0.01) lines.push(fromDevice(chance > 0.02 ? text : text.slice(3), arrivalS))
    if (nth === RATE_HZ) lines.push(fromHost('datum', arrivalS), fromHost('aim 92 0.2 1', arrivalS))
    if (nth === 8 * RATE_HZ) lines.push(fromHost('close accepted', arrivalS))
  }
  return lines
}

function angleAt(timeS: number): number {
  const next = KNEES.findIndex(([atS]) => atS > timeS)
  const [fromS, fromDeg] = KNEES[next - 1] ?? KNEES[0]
  const [toS, toDeg] = KNEES[next] ?? KNEES[0]
  return fromDeg + ((toDeg - fromDeg) * (timeS - fromS)) / (toS - fromS)
}

/** Everything that comes out, as text; live runs and raw lines joined, since they go by batches. */
function outOf(chain: Chain, run: () => void) {
  const bend: string[] = []
  const live: string[] = []
  const raw: RawLine[] = []
  const leave = [
    chain.on('bend', (message) => bend.push(JSON.stringify(message))),
    chain.on('live', (message) => {
      const { timeS, angleDeg, rateDegPerS, quality } = message as LiveRun
      timeS.forEach((t, nth) => {
        live.push([t, angleDeg[nth], rateDegPerS[nth], quality[nth]].join(' '))
      })
    }),
    chain.on('raw', (message) => raw.push(...(message as RawLine[]))),
  ]
  run()
  for (const go of leave) go()
  return { bend, live, raw }
}

const shipped = () => compileChain(dieEncoderChain, catalogue)
const draftOf = (bend: readonly string[]) =>
  bend
    .map((text) => JSON.parse(text) as BendMessage)
    .flatMap((message) => (message.type === 'draft' ? [message.draft] : []))[0]

test('it compiles, and names itself', () => {
  expect(shipped().revision).toBe('die-encoder r1')
})

test('a bend over the 360° seam comes out as it was made', () => {
  const chain = shipped()
  const draft = draftOf(outOf(chain, () => chain.push(session(1))).bend)
  expect(draft).toMatchObject({ closedBy: 'accepted', complete: true })
  expect(draft?.goes).toHaveLength(1)
  expect(draft?.goes[0]).toMatchObject({
    commandedDeg: 92,
    peakDeg: expect.closeTo(92, 1),
    releasedDeg: expect.closeTo(89.5, 1),
    strokes: 1,
  })
})

test('the cue stops ahead of the aim by rate and lead', () => {
  const chain = shipped()
  const draft = draftOf(outOf(chain, () => chain.push(session(1))).bend)
  expect(draft?.goes[0]?.cueDeg).toBeCloseTo(92 - 0.2 * 23, 0)
})

test('all lines come out of the raw record as they went in', () => {
  const chain = shipped()
  const lines = session(2)
  expect(outOf(chain, () => chain.push(lines)).raw).toEqual(lines)
})

describe('the same lines give the same, bit for bit', () => {
  const lines = session(3)
  const whole = shipped()
  const expected = outOf(whole, () => whole.push(lines))

  test('again', () => {
    const chain = shipped()
    expect(outOf(chain, () => chain.push(lines))).toEqual(expected)
  })

  test('in any batches (seed 8)', () => {
    const sizes = fc.array(fc.integer({ min: 1, max: 400 }), { minLength: 1, maxLength: 40 })
    fc.assert(
      fc.property(sizes, (splits) => {
        const chain = shipped()
        const got = outOf(chain, () => {
          for (let from = 0, nth = 0; from < lines.length; nth++) {
            const size = splits[nth % splits.length] ?? 1
            chain.push(lines.slice(from, from + size))
            from += size
          }
        })
        expect(got).toEqual(expected)
      }),
      { seed: 8, numRuns: 15 },
    )
  }, 60_000)

  test('with a snapshot and a restore at any line (seed 9)', () => {
    fc.assert(
      fc.property(fc.nat(lines.length), (cut) => {
        const first = shipped()
        const head = outOf(first, () => first.push(lines.slice(0, cut)))
        const second = shipped()
        second.restore(first.snapshot())
        const tail = outOf(second, () => second.push(lines.slice(cut)))
        expect({
          bend: [...head.bend, ...tail.bend],
          live: [...head.live, ...tail.live],
          raw: [...head.raw, ...tail.raw],
        }).toEqual(expected)
        expect(second.snapshot()).toBe(whole.snapshot())
      }),
      { seed: 9, numRuns: 15 },
    )
  }, 60_000)
})

describe('unplugged in mid-bend for two seconds', () => {
  const cut = (lines: readonly RawLine[], back: readonly RawLine[]) => [
    ...lines.filter(({ arrivalS }) => arrivalS < 103),
    fromHost('link lost', 103),
    fromHost('link back', 105),
    ...back,
  ]
  const bendOf = (lines: readonly RawLine[]) => {
    const chain = shipped()
    return outOf(chain, () => chain.push(lines)).bend
  }
  const later = (lines: readonly RawLine[]) => lines.filter(({ arrivalS }) => arrivalS >= 105)

  test('an absolute encoder: the bend goes on', () => {
    const lines = session(4)
    const draft = draftOf(bendOf(cut(lines, later(lines))))
    expect(draft).toMatchObject({ complete: true, closedBy: 'accepted' })
    expect(draft?.goes.at(-1)?.releasedDeg).toBeCloseTo(89.5, 1)
  })

  test('an incremental one that kept counting: the bend goes on too', () => {
    const lines = session(4, 'incremental')
    const draft = draftOf(bendOf(cut(lines, later(lines))))
    expect(draft).toMatchObject({ complete: true, closedBy: 'accepted' })
  })

  test('an incremental one that began anew: incomplete, and its angles are bad', () => {
    const anew = Array.from({ length: 400 }, (_, nth) =>
      fromDevice(sampleText({ sequence: nth, tickUs: nth * 5000 }), 105.1 + nth / 200),
    )
    const hello = fromDevice(helloText({ sensor: 'incremental' }), 105)
    const chain = shipped()
    const { bend, live } = outOf(chain, () =>
      chain.push(cut(session(4, 'incremental'), [hello, ...anew])),
    )
    const closed = bend
      .map((text) => JSON.parse(text))
      .find(({ event }) => event?.kind === 'closed')
    expect(closed).toMatchObject({ event: { reason: 'link lost' } })
    expect(live.slice(-400).every((row) => row.endsWith(' 2'))).toBe(true)
  })
})

describe('with a sensor that the station knows better', () => {
  const overrides = (countsPerTurn: number, direction: 1 | -1) => ({
    unwrap: { countsPerTurn },
    scale: { countsPerTurn, direction },
  })
  test('counts for a turn and direction reach the blocks that need them', () => {
    const file = withSensor(dieEncoderChain, overrides(4096, -1))
    const parametersOf = (id: string) => file.blocks.find((block) => block.id === id)?.parameters
    expect(parametersOf('unwrap')).toEqual({ countsPerTurn: 4096 })
    expect(parametersOf('scale')).toEqual({ countsPerTurn: 4096, direction: -1 })
    expect(() => compileChain(file, catalogue)).not.toThrow()
  })

  test('degrees come out accordingly', () => {
    const file = withSensor(dieEncoderChain, overrides(4096, -1))
    const chain = compileChain(file, catalogue)
    const { live } = outOf(chain, () =>
      chain.push([fromDevice(helloText(), 1), fromDevice(sampleText({ counts: 1024 }), 2)]),
    )
    expect(live[0]?.split(' ')[1]).toBe('-90')
  })

  test('the shipped chain itself stays as it is', () => {
    const before = JSON.stringify(dieEncoderChain)
    withSensor(dieEncoderChain, overrides(1, 1))
    expect(JSON.stringify(dieEncoderChain)).toBe(before)
  })

  test('nonsense is refused by the chain, with its block', () => {
    const file = withSensor(dieEncoderChain, overrides(-1, 1))
    expect(() => compileChain(file, catalogue)).toThrow(/"unwrap": countsPerTurn/)
  })
})
