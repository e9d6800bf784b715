import { describe, expect, it } from 'vitest'
import {
  CYCLE_DEFAULTS,
  closeCycle,
  datumTaken,
  newCycle,
  stepCycle,
} from '../../../../server/bend/cycle.ts'
import type { CycleEvent } from '../../../../server/bend/cycle-event.ts'
import { randomBend, type Sample, seeded } from '../../../support/synthetic-trace.ts'

/** Runs the watch; after each sample that `saves` names, its memory goes through JSON and back. */
function run(samples: readonly Sample[], saves: ReadonlySet<number>) {
  const events: CycleEvent[] = []
  const report = (event: CycleEvent) => {
    events.push(event)
  }
  let state = newCycle()
  datumTaken(state, 0, 12.5, report)
  let largest = 0
  samples.forEach((sample, index) => {
    stepCycle(state, CYCLE_DEFAULTS, { ...sample, quality: 0 }, report)
    if (!saves.has(index)) return
    const text = JSON.stringify(state)
    largest = Math.max(largest, text.length)
    state = JSON.parse(text)
  })
  closeCycle(state, samples.at(-1)!.timeS, 'end', report)
  return { events, state, largest }
}

const everyNumber = (value: unknown): number[] =>
  typeof value === 'number'
    ? [value]
    : typeof value === 'object' && value !== null
      ? Object.values(value).flatMap(everyNumber)
      : []

describe('the memory of the bend watch', () => {
  it.each([101, 102, 103, 104, 105, 106, 107, 108])(
    'saved and restored at random moments gives the same events, seed %d',
    (seed) => {
      const random = seeded(seed)
      const { samples } = randomBend(random, { fromS: 0, toS: 1 })
      const saves = new Set(Array.from({ length: 40 }, () => random.integer(0, samples.length - 1)))
      const whole = run(samples, new Set())
      const cut = run(samples, saves)
      expect(cut.events).toEqual(whole.events)
      expect(cut.state).toEqual(whole.state)
      expect(whole.events.some(({ kind }) => kind === 'settled')).toBe(true)
    },
  )

  it('is finite numbers, strings, booleans and nulls, and stays small however long it runs', () => {
    const { samples } = randomBend(seeded(7), { fromS: 1, toS: 2 })
    const lastS = samples.at(-1)!.timeS
    const long = [...samples]
    for (let index = 1; index <= 100_000; index += 1)
      long.push({ timeS: lastS + index / 200, angleDeg: samples.at(-1)!.angleDeg })
    const { state, largest } = run(long, new Set([samples.length, long.length - 1]))
    expect(everyNumber(state).every(Number.isFinite)).toBe(true)
    expect(largest).toBeLessThan(80_000)
    expect(JSON.parse(JSON.stringify(state))).toEqual(state)
  })

  it('at a datum, where a bend begins, no angle of the bend before is in it', () => {
    const { samples } = randomBend(seeded(9), { fromS: 1, toS: 2 })
    const fresh = run(samples.slice(0, 1), new Set())
    const used = run(samples, new Set())
    const again = run(samples.slice(0, 1), new Set())
    expect(again.events).toEqual(fresh.events)
    expect(used.state.phase).toBe('no-datum')
  })
})
