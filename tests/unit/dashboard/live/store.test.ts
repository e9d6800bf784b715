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

function inPhase(phase: 'no-datum' | 'seated' | 'bending') {
  const store = makeStore()
  store.take({ type: 'state', state: state({ phase }) }, 0)
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
    expect(store.latest).toEqual({ angleDeg: 12, quality: 0, arrivedMs: 5000 })
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
    const store = inPhase('no-datum')
    store.take({ type: 'state', state: state({ phase: 'seated' }) }, 0)
    store.take(samples([100, 100.5], [0, 1]), 0)
    expect([...store.trace.view()[0]]).toEqual([0, 0.5])
  })

  test.each(['no-datum', 'settled', 'bending'] as const)(
    'a datum after %s starts anew',
    (phase) => {
      const store = makeStore()
      store.take({ type: 'state', state: state({ phase: 'bending' }) }, 0)
      store.take(samples([1, 2], [1, 2]), 0)
      store.take({ type: 'state', state: state({ phase }) }, 0)
      const number = store.traceNumber.value
      store.take({ type: 'state', state: state({ phase: 'seated' }) }, 0)
      expect(store.trace.length).toBe(0)
      expect(store.traceNumber.value).toBe(number + 1)
    },
  )

  test('a second go belongs to the same trace', () => {
    const store = inPhase('seated')
    for (const [i, phase] of (['bending', 'settled', 'bending'] as const).entries()) {
      store.take({ type: 'state', state: state({ phase }) }, 0)
      store.take(samples([i], [i]), 0)
    }
    expect(store.trace.length).toBe(3)
  })

  test.each([
    ['of the station', 500],
    ['that start at the datum', 0],
  ])('survives a reload in mid-bend, with trace times %s', (_, originS) => {
    const store = makeStore()
    const tS = [0, 1, 2].map((timeS) => originS + timeS)
    const trace = { tS, angleDeg: [0, 5, 10] }
    store.take({ type: 'hello', state: state({ phase: 'bending' }), nowS: 502, trace }, 0)
    store.take(samples([502.5], [12]), 0)
    const [times, angles] = store.trace.view()
    expect([...times]).toEqual([0, 1, 2, 2.5])
    expect([...angles]).toEqual([0, 5, 10, 12])
  })

  test('a reconnect replaces the trace instead of doubling it', () => {
    const store = makeStore()
    const trace = { tS: [0, 1], angleDeg: [0, 5] }
    const hello = { type: 'hello' as const, state: state({ phase: 'bending' }), nowS: 1, trace }
    store.take(hello, 0)
    store.take(hello, 0)
    expect(store.trace.length).toBe(2)
  })
})
