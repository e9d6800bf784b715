import { describe, expect, it } from 'vitest'
import {
  CYCLE_DEFAULTS,
  type CycleState,
  closeCycle,
  datumTaken,
  linkBack,
  linkLost,
  newCycle,
  stepCycle,
} from '../../../../server/bend/cycle.ts'
import type { CycleEvent } from '../../../../server/bend/cycle-event.ts'
import { measuredGoes } from '../../../support/bend-family.ts'
import {
  type DieMotion,
  dieMotion,
  type Sample,
  type Sensor,
  sampled,
  seeded,
} from '../../../support/synthetic-trace.ts'

const SENSOR: Sensor = { rateHz: 200, noiseDeg: 0.03, quantumDeg: 0.02 }
const samplesOf = (motion: DieMotion, sensor: Partial<Sensor> = {}) =>
  sampled(motion, { ...SENSOR, ...sensor }, seeded(3))

/** A bend watch with its events, and a hand to feed it. */
function bench() {
  const state: CycleState = newCycle()
  const events: CycleEvent[] = []
  const report = (event: CycleEvent) => {
    events.push(event)
  }
  return {
    state,
    events,
    report,
    kinds: () => events.map(({ kind }) => kind).filter((kind, at, all) => kind !== all[at - 1]),
    datum: (timeS = 0) => datumTaken(state, timeS, 0, report),
    feed(samples: readonly Sample[], quality = 0) {
      for (const { timeS, angleDeg } of samples)
        stepCycle(state, CYCLE_DEFAULTS, { timeS, angleDeg, quality }, report)
    },
  }
}

const loaded = () => dieMotion().rest(0.6).stroke(20, 10, 0.1).hold(0.6)
const bent = () => loaded().letOff(1.5, 0.1, 1.5)

describe('the order of a bend', () => {
  it('datum, bending, held, letting off, settled, closed', () => {
    const { kinds, datum, feed, state, report } = bench()
    datum()
    feed(samplesOf(bent()))
    closeCycle(state, 9, 'accepted', report)
    expect(kinds()).toEqual(['datum', 'bending', 'held', 'letting-off', 'settled', 'closed'])
  })

  it('numbers strokes and goes', () => {
    const { events, datum, feed } = bench()
    const motion = loaded().stroke(40, 10).hold(0.6).letOff(2, 0.1, 1.5).stroke(43, 10).hold(0.6)
    datum()
    feed(samplesOf(motion.letOff(2, 0.1, 1.5)))
    const begun = events.filter((event) => event.kind === 'bending')
    expect(begun.map(({ go, stroke }) => [go, stroke])).toEqual([
      [1, 1],
      [1, 2],
      [2, 1],
    ])
    expect(measuredGoes(events).map(({ strokes }) => strokes)).toEqual([2, 1])
  })

  it('never reports out of order', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(samplesOf(bent().stroke(30, 10).letOff(2, 0.1, 1.5).byHand(0, 1).rest(1)))
    const times = events.map(({ timeS }) => timeS)
    expect(times).toEqual([...times].sort((a, b) => a - b))
    expect(events.at(-1)!.kind).toBe('taken-out')
  })

  it('says the released angle again as it gets better known, with a smaller error', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(samplesOf(loaded().letOff(1.5, 0.1, 4)))
    const said = events.filter((event) => event.kind === 'settled')
    expect(said.length).toBeGreaterThan(1)
    expect(said.length).toBeLessThan(15)
    expect(said.at(-1)!.releasedSeDeg).toBeLessThan(said[0]!.releasedSeDeg)
    expect(Math.abs(said[0]!.releasedDeg - 18.5)).toBeLessThan(0.1)
  })

  it('says within half a second of standing still that it has settled', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(samplesOf(bent()))
    const standsAtS = 0.6 + 2.05 + 0.6 + 5 * 0.1
    const first = events.find(({ kind }) => kind === 'settled')
    expect(first!.timeS - standsAtS).toBeLessThan(0.5)
  })
})

describe('host lines', () => {
  it('watches nothing before the first datum, and nothing after the close', () => {
    const { events, feed, datum, state, report } = bench()
    feed(samplesOf(bent()))
    expect(events).toEqual([])
    datum(20)
    closeCycle(state, 21, 'accepted', report)
    feed(samplesOf(bent()).map(({ timeS, angleDeg }) => ({ timeS: timeS + 30, angleDeg })))
    expect(events.map(({ kind }) => kind)).toEqual(['datum', 'closed'])
  })

  it('a close without a bend says nothing', () => {
    const { events, state, report } = bench()
    closeCycle(state, 1, 'accepted', report)
    expect(events).toEqual([])
  })

  it('a new datum closes the open bend first', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(samplesOf(bent()))
    datum(9)
    expect(events.slice(-2)).toEqual([
      { kind: 'closed', timeS: 9, reason: 'next datum' },
      { kind: 'datum', timeS: 9, readoutDeg: 0 },
    ])
  })

  it('a close under load tells how far it was taken', () => {
    const { events, datum, feed, state, report } = bench()
    datum()
    feed(samplesOf(loaded()))
    closeCycle(state, 9, 'restart', report)
    const closed = events.at(-1)!
    expect(closed.kind === 'closed' && closed.topDeg).toBeCloseTo(20, 1)
  })

  it('a close after settling does not', () => {
    const { events, datum, feed, state, report } = bench()
    datum()
    feed(samplesOf(bent()))
    closeCycle(state, 9, 'accepted', report)
    expect(events.at(-1)).toEqual({ kind: 'closed', timeS: 9, reason: 'accepted' })
  })

  it('measures two bends one after the other as it would each alone', () => {
    const samples = samplesOf(bent())
    const once = bench()
    once.datum()
    once.feed(samples)
    const twice = bench()
    twice.datum()
    twice.feed(samplesOf(loaded().letOff(3, 0.2, 2)))
    twice.datum(100)
    twice.feed(samples.map(({ timeS, angleDeg }) => ({ timeS: timeS + 100, angleDeg })))
    const [first] = measuredGoes(once.events)
    const begun = twice.events.findLastIndex(({ kind }) => kind === 'datum')
    const [second] = measuredGoes(twice.events.slice(begun))
    // What it learned of the noise it keeps, so looks fall at other moments; a thousandth is all they change.
    expect(Math.abs(second!.peakDeg - first!.peakDeg)).toBeLessThan(0.001)
    expect(Math.abs(second!.releasedDeg - first!.releasedDeg)).toBeLessThan(0.001)
  })
})

describe('false starts', () => {
  it('a bump is taken back, and the bend after it is the first go', () => {
    const { kinds, events, datum, feed } = bench()
    datum()
    feed(samplesOf(dieMotion().rest(0.5).bump(2, 0.4).rest(1).stroke(20, 10).letOff(1.5, 0.1, 1.5)))
    expect(kinds().slice(0, 5)).toEqual([
      'datum',
      'bending',
      'letting-off',
      'false-start',
      'bending',
    ])
    expect(measuredGoes(events)).toHaveLength(1)
  })

  it('below a degree nothing is even said', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(samplesOf(dieMotion().rest(0.5).bump(0.8, 0.4).rest(1).bump(-3, 0.4).rest(1)))
    expect(events.map(({ kind }) => kind)).toEqual(['datum'])
  })

  it('leaned on again after settling, less far than before: the go before stands', () => {
    const { kinds, events, datum, feed } = bench()
    datum()
    feed(samplesOf(bent().stroke(19.5, 5).letOff(1, 0.1, 1.5)))
    expect(kinds().at(-1)).toBe('false-start')
    expect(measuredGoes(events)).toHaveLength(1)
  })

  it('turned far by hand before it settled: nothing is measured', () => {
    const { kinds, datum, feed } = bench()
    datum()
    feed(samplesOf(dieMotion().rest(0.5).stroke(90, 20).byHand(0, 1).rest(2)))
    expect(kinds()).toEqual(['datum', 'bending', 'letting-off', 'taken-out'])
  })

  it('an hour of noise, vibration and knocks below a degree is no bend', () => {
    const { events, datum, feed } = bench()
    const motion = dieMotion()
    for (let minute = 0; minute < 60; minute += 1) motion.rest(58).bump(0.7, 1).rest(1)
    datum()
    const shakeDeg = (timeS: number) => 0.2 * Math.sin(2 * Math.PI * 11 * timeS)
    feed(samplesOf(motion, { rateHz: 50, noiseDeg: 0.1, shakeDeg }))
    expect(events.map(({ kind }) => kind)).toEqual(['datum'])
  })
})

describe('lost lines, a lost link, bad samples', () => {
  const cut = (samples: readonly Sample[], fromS: number, toS: number) =>
    samples.filter(({ timeS }) => timeS < fromS || timeS > toS)

  it('a bend goes on over a gap in the rise', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(cut(samplesOf(bent()), 1.2, 2))
    const [go] = measuredGoes(events)
    expect(Math.abs(go!.peakDeg - 20)).toBeLessThan(0.05)
    expect(Math.abs(go!.releasedDeg - 18.5)).toBeLessThan(0.05)
  })

  it('a gap on the hold, ended while it is still held, hides nothing', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(
      cut(
        samplesOf(dieMotion().rest(0.6).stroke(20, 10, 0.1).hold(4).letOff(1.5, 0.1, 2)),
        3.4,
        5.8,
      ),
    )
    expect(Math.abs(measuredGoes(events)[0]!.peakDeg - 20)).toBeLessThan(0.05)
  })

  it('let off while no samples came: closed, not made up', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(cut(samplesOf(bent()), 2.9, 3.9))
    const closed = events.at(-1)!
    expect(closed.kind === 'closed' && closed.reason).toMatch(/let off while no samples came/)
    expect(measuredGoes(events)).toEqual([])
  })

  it('peak and let-off both unseen: no peak is taken for measured, no released angle is made up', () => {
    const { events, datum, feed, state, report } = bench()
    datum()
    feed(cut(samplesOf(bent()), 2, 3.9))
    closeCycle(state, 9, 'accepted', report)
    expect(measuredGoes(events)).toEqual([])
    expect(events.at(-1)).toMatchObject({ kind: 'closed' })
  })

  it('a wire lost and back: an absolute sensor goes on, another cannot', () => {
    const samples = samplesOf(bent())
    for (const absolute of [true, false]) {
      const { events, datum, feed, state, report } = bench()
      datum()
      feed(samples.filter(({ timeS }) => timeS < 1.2))
      linkLost(state, 1.2)
      linkBack(state, 2, absolute, report)
      feed(samples.filter(({ timeS }) => timeS > 2))
      expect(measuredGoes(events)).toHaveLength(absolute ? 1 : 0)
      if (!absolute) expect(events.at(-1)).toMatchObject({ kind: 'closed', reason: 'link lost' })
    }
  })

  it('a wire lost twice, and before the datum', () => {
    const { events, datum, feed, state, report } = bench()
    linkLost(state, 0)
    linkLost(state, 0)
    linkBack(state, 0, false, report)
    datum()
    feed(samplesOf(bent()))
    expect(measuredGoes(events)).toHaveLength(1)
  })

  it('passes over bad samples, no matter what they hold', () => {
    const good = samplesOf(bent())
    const plain = bench()
    plain.datum()
    plain.feed(good)
    const mixed = bench()
    mixed.datum()
    for (const [index, sample] of good.entries()) {
      mixed.feed([sample])
      const bad = [Number.NaN, Number.POSITIVE_INFINITY, -1e300, 400][index % 4]!
      mixed.feed([{ timeS: sample.timeS, angleDeg: bad }], 2 + (index % 2))
      mixed.feed([{ timeS: sample.timeS, angleDeg: Number.NaN }])
      mixed.feed([{ timeS: Number.NaN, angleDeg: 50 }])
      mixed.feed([{ timeS: Number.POSITIVE_INFINITY, angleDeg: 50 }])
    }
    expect(mixed.events).toEqual(plain.events)
    expect(mixed.state).toEqual(plain.state)
  })

  it('passes over samples from the past, and takes two of the same moment', () => {
    const samples = samplesOf(bent())
    const plain = bench()
    plain.datum()
    plain.feed(samples)
    const late = bench()
    late.datum()
    for (const sample of samples) late.feed([sample, { timeS: sample.timeS - 0.3, angleDeg: 77 }])
    expect(late.events).toEqual(plain.events)
    const doubled = bench()
    doubled.datum()
    for (const sample of samples) doubled.feed([sample, sample])
    const [go] = measuredGoes(doubled.events)
    expect(Math.abs(go!.peakDeg - 20)).toBeLessThan(0.05)
    expect(Math.abs(go!.releasedDeg - 18.5)).toBeLessThan(0.05)
  })

  it('uncertain samples count', () => {
    const { events, datum, feed } = bench()
    datum()
    feed(samplesOf(bent()), 1)
    expect(measuredGoes(events)).toHaveLength(1)
  })

  it.each([20, 50, 333, 1000])('%d Hz', (rateHz) => {
    const { events, datum, feed } = bench()
    datum()
    feed(samplesOf(bent(), { rateHz, jitter: 0.3, lost: 0.03 }))
    const [go] = measuredGoes(events)
    expect(Math.abs(go!.peakDeg - 20)).toBeLessThan(0.05)
    expect(Math.abs(go!.releasedDeg - 18.5)).toBeLessThan(0.05)
  })
})
