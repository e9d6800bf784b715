import { describe, expect, test } from 'vitest'
import { makeStore } from '../../../../dashboard/live/store.ts'
import type { Samples } from '../../../../server/messages/live.ts'
import { makeFakeStation } from '../../../support/fake-station.ts'

const station = makeFakeStation()
const state = (more = {}) => ({ ...station.state(), ...more })

const samples = (tS: number[], angleDeg: number[], more: Partial<Samples> = {}): Samples => ({
  type: 'samples',
  tS,
  angleDeg,
  rateDegPerS: tS.map(() => 0),
  quality: tS.map(() => 0),
  cue: 'none',
  omitted: 0,
  ...more,
})

function inPhase(phase: 'no-datum' | 'seated' | 'bending', datumS: number | null = 0) {
  const store = makeStore()
  store.take({ type: 'state', state: state({ phase, datumS }) }, 0)
  return store
}

describe('the store', () => {
  test('knows nothing at first, and shows no angle', () => {
    const store = makeStore()
    expect(store.state.value).toBeNull()
    expect(store.latest.angleDeg).toBeNaN()
    expect(store.latest.arrivedMs).toBe(-Infinity)
  })

  test('keeps the newest sample and when it came', () => {
    const store = inPhase('bending')
    store.take(samples([1, 1.1, 1.2], [10, 11, 12]), 5000)
    expect(store.latest).toMatchObject({ angleDeg: 12, quality: 0, arrivedMs: 5000 })
  })

  test('takes the cue from the samples, ahead of the state', () => {
    const store = inPhase('bending')
    store.take(samples([1], [90], { cue: 'stop' }), 0)
    expect(store.cue.value).toBe('stop')
  })

  test('a bad reading is no sign of life', () => {
    const store = inPhase('bending')
    store.take(samples([1], [10]), 1000)
    store.take(samples([2], [99], { quality: [2] }), 2000)
    expect(store.latest.quality).toBe(2)
    expect(store.latest.arrivedMs).toBe(1000)
  })

  test('an uncertain reading is one', () => {
    const store = inPhase('bending')
    store.take(samples([1], [10], { quality: [1] }), 1000)
    expect(store.latest.arrivedMs).toBe(1000)
  })

  test('an empty run of samples changes nothing', () => {
    const store = inPhase('bending')
    store.take(samples([], []), 9)
    expect(store.latest.arrivedMs).toBe(-Infinity)
  })

  test('counts what this page was too slow for', () => {
    const store = inPhase('bending')
    store.take(samples([1], [1], { omitted: 3 }), 0)
    store.take(samples([2], [2], { omitted: 4 }), 0)
    expect(store.omitted.value).toBe(7)
  })

  test('draws nothing before the datum: that is play, not bend', () => {
    const store = inPhase('no-datum')
    store.take(samples([1, 2], [1, 2]), 0)
    expect(store.trace.length).toBe(0)
  })

  test('the trace begins at the datum, at zero', () => {
    const store = inPhase('no-datum', null)
    store.take({ type: 'state', state: state({ phase: 'seated', datumS: 99.5 }) }, 0)
    store.take(samples([99, 99.5, 100, 100.5], [-1, 0, 0, 1]), 0)
    expect([...store.trace.view()[0]]).toEqual([0, 0.5, 1])
    expect([...store.trace.view()[1]]).toEqual([0, 0, 1])
  })

  test.each(['no-datum', 'seated', 'settled', 'bending'] as const)(
    'a datum after %s starts anew',
    (phase) => {
      const store = inPhase('bending', 0.5)
      store.take(samples([1, 2], [1, 2]), 0)
      store.take({ type: 'state', state: state({ phase, datumS: 0.5 }) }, 0)
      const number = store.traceNumber.value
      expect(store.trace.length).toBe(2)
      store.take({ type: 'state', state: state({ phase: 'seated', datumS: 3 }) }, 0)
      expect(store.trace.length).toBe(0)
      expect(store.traceNumber.value).toBe(number + 1)
    },
  )

  test('a zero taken again while seated is where the trace counts from, as the times of a go do', () => {
    const store = inPhase('seated', 10)
    store.take(samples([10, 40], [0, -1]), 0)
    store.take({ type: 'state', state: state({ phase: 'seated', datumS: 60 }) }, 0)
    store.take(samples([60, 68, 70], [0, 40, 38]), 0)
    const [times, angles] = store.trace.view()
    const peakAt = angles.indexOf(Math.max(...angles))
    // The station's go peaked at 68 s of its clock: 8 s from the datum in force.
    expect(times[peakAt]).toBe(8)
    expect([...times]).toEqual([0, 8, 10])
  })

  test('a second go belongs to the same trace', () => {
    const store = inPhase('seated')
    for (const [i, phase] of (['bending', 'settled', 'bending'] as const).entries()) {
      store.take({ type: 'state', state: state({ phase, datumS: 0 }) }, 0)
      store.take(samples([i], [i]), 0)
    }
    expect(store.trace.length).toBe(3)
  })

  test('survives a reload in mid-bend, however coarsely the station kept what went before', () => {
    const store = makeStore()
    const trace = { tS: [500.3, 501, 502], angleDeg: [0, 5, 10] }
    const bending = state({ phase: 'bending', datumS: 500 })
    store.take({ type: 'hello', state: bending, nowS: 502, trace }, 0)
    store.take(samples([502.5], [12]), 0)
    const [times, angles] = store.trace.view()
    expect([...times].map((timeS) => timeS.toFixed(1))).toEqual(['0.3', '1.0', '2.0', '2.5'])
    expect([...angles]).toEqual([0, 5, 10, 12])
  })

  test('a station where zero was never taken has no trace', () => {
    const store = makeStore()
    const trace = { tS: [1, 2], angleDeg: [3, 4] }
    const hello = { type: 'hello' as const, nowS: 2, trace }
    store.take({ ...hello, state: state({ phase: 'no-datum', datumS: null }) }, 0)
    expect(store.trace.length).toBe(0)
  })

  test('a reconnect replaces the trace instead of doubling it', () => {
    const store = makeStore()
    const trace = { tS: [0, 1], angleDeg: [0, 5] }
    const bending = state({ phase: 'bending', datumS: 0 })
    const hello = { type: 'hello' as const, state: bending, nowS: 1, trace }
    store.take(hello, 0)
    store.take(hello, 0)
    expect(store.trace.length).toBe(2)
  })
})
