import { describe, expect, it } from 'vitest'
import { type BendDraft, draftCycle, newDraft } from '../../../../server/bend/bend-draft.ts'
import {
  CYCLE_DEFAULTS,
  closeCycle,
  datumTaken,
  newCycle,
  stepCycle,
} from '../../../../server/bend/cycle.ts'
import type { CycleEvent } from '../../../../server/bend/cycle-event.ts'
import { type Release, seeRelease, touchNow } from '../../../../server/bend/cycle-hidden.ts'
import { dieMotion, type Sample, sampled, seeded } from '../../../support/synthetic-trace.ts'

const OPTIONS = { ...CYCLE_DEFAULTS, losesSight: true }
const SENSOR = { rateHz: 200, noiseDeg: 0.03, quantumDeg: 0.02 }

/** A bend watch of a sensor on the arm, fed piece by piece. */
function arm() {
  const state = newCycle()
  const draft = newDraft()
  const events: CycleEvent[] = []
  const drafts: BendDraft[] = []
  const report = (event: CycleEvent) => {
    events.push(event)
    const done = draftCycle(draft, event)
    if (done) drafts.push(done)
  }
  datumTaken(state, 0, 0, report)
  return {
    events,
    kinds: () => events.map(({ kind }) => kind).filter((kind, at, all) => kind !== all[at - 1]),
    settled: () => events.filter((event) => event.kind === 'settled').at(-1),
    feed(samples: readonly Sample[]) {
      for (const sample of samples) stepCycle(state, OPTIONS, { ...sample, quality: 0 }, report)
    },
    see(release: Partial<Release>) {
      const whole = { from: 'pressure' as const, timeS: state.lastS ?? 0, seDeg: 0.01, ...release }
      seeRelease(state, OPTIONS, { angleDeg: 0, ...whole }, report)
    },
    touch() {
      const release = touchNow(state, state.lastS ?? 0)
      if (release) seeRelease(state, OPTIONS, release, report)
    },
    close(reason = 'accepted') {
      closeCycle(state, (state.lastS ?? 0) + 1, reason, report)
      return drafts.at(-1)
    },
  }
}

const traceOf = (motion: ReturnType<typeof dieMotion>) => sampled(motion, SENSOR, seeded(3))
/** Bent to 30°, let off to 28.5°; then the arm goes on back to 20° and rests there. */
const letGo = () =>
  dieMotion().rest(0.6).stroke(30, 10, 0.1).hold(0.6).letOff(1.5, 0.1, 0.6).byHand(20, 0.5).rest(1)

describe('let off under a sensor on the arm', () => {
  it('the peak is known, and where the tube stands is not', () => {
    const watch = arm()
    watch.feed(traceOf(letGo()))
    expect(watch.kinds()).toEqual(['datum', 'bending', 'held', 'letting-off', 'let-off'])
    expect(watch.events.at(-1)).toMatchObject({
      kind: 'let-off',
      go: 1,
      strokes: 1,
      peakDeg: expect.closeTo(30, 1),
    })
    const draft = watch.close()
    expect(draft).toMatchObject({ complete: false, closedBy: 'accepted' })
    expect(draft?.goes[0]).toMatchObject({
      releasedDeg: null,
      releasedSeDeg: null,
      releasedFrom: 'unknown',
      peakDeg: expect.closeTo(30, 1),
    })
  })

  it('however long the arm rests, no plateau of it is taken for the tube', () => {
    const watch = arm()
    watch.feed(traceOf(letGo().rest(30)))
    expect(watch.settled()).toBeUndefined()
  })

  it('a hand that moves the arm a little bends nothing', () => {
    const watch = arm()
    watch.feed(traceOf(dieMotion().rest(0.6).stroke(1.6, 5).hold(0.5).byHand(0, 0.5).rest(1)))
    expect(watch.kinds()).toEqual(['datum', 'bending', 'held', 'letting-off', 'false-start'])
    expect(watch.close()).toBeUndefined()
  })
})

describe('where the tube stands', () => {
  it.each<[Release['from'], number | null]>([
    ['pressure', 0.01],
    ['switch', 0.05],
    ['checked', null],
  ])('comes from %s', (from, seDeg) => {
    const watch = arm()
    watch.feed(traceOf(letGo()))
    watch.see({ from, angleDeg: 28.4, seDeg })
    expect(watch.settled()).toMatchObject({ releasedDeg: 28.4, releasedFrom: from })
    expect(watch.close()).toMatchObject({
      complete: true,
      goes: [{ releasedDeg: 28.4, releasedSeDeg: seDeg, releasedFrom: from }],
    })
  })

  it('comes from a touch, with the error of its readings', () => {
    const watch = arm()
    watch.feed(traceOf(letGo().byHand(28.5, 0.8).rest(0.6)))
    watch.touch()
    expect(watch.settled()).toMatchObject({
      releasedDeg: expect.closeTo(28.5, 1),
      releasedFrom: 'touch',
    })
    expect(watch.settled()?.releasedSeDeg).toBeGreaterThan(0.002)
    expect(watch.settled()?.releasedSeDeg).toBeLessThan(0.05)
  })

  it('is known as soon as the top is, when the load was gone before', () => {
    const watch = arm()
    const fast = dieMotion().rest(0.6).stroke(30, 10).letOff(1.5, 0.03, 0.6).byHand(20, 0.5)
    const samples = traceOf(fast)
    const fallen = samples.findIndex(({ timeS, angleDeg }) => timeS > 3.6 && angleDeg < 28.7)
    watch.feed(samples.slice(0, fallen))
    watch.see({ angleDeg: 28.5 })
    expect(watch.kinds().at(-1)).toBe('bending')
    watch.feed(samples.slice(fallen))
    expect(watch.kinds().slice(-2)).toEqual(['let-off', 'settled'])
    expect(watch.settled()).toMatchObject({ releasedDeg: 28.5, releasedFrom: 'pressure' })
  })

  it.each([
    ['at the top: a pawl holds it', 29.9],
    ['beyond the top', 31],
    ['where no tube comes back to', 14],
    ['no number', Number.NaN],
  ])('is not %s', (_, angleDeg) => {
    const watch = arm()
    watch.feed(traceOf(letGo()))
    watch.see({ angleDeg })
    expect(watch.settled()).toBeUndefined()
  })

  it('is not known before the tube is let off', () => {
    const watch = arm()
    watch.feed(traceOf(dieMotion().rest(0.6).stroke(30, 10, 0.1).hold(0.6)))
    watch.see({ from: 'checked', angleDeg: 28 })
    watch.touch()
    expect(watch.settled()).toBeUndefined()
  })

  it('that was measured is not replaced by an angle finder; one that was checked is', () => {
    const [measured, checked] = [arm(), arm()]
    for (const watch of [measured, checked]) watch.feed(traceOf(letGo()))
    measured.see({ angleDeg: 28.4 })
    checked.see({ from: 'checked', angleDeg: 28.4, seDeg: null })
    for (const watch of [measured, checked]) watch.see({ from: 'checked', angleDeg: 28.1 })
    expect(measured.settled()).toMatchObject({ releasedDeg: 28.4, releasedFrom: 'pressure' })
    expect(checked.settled()).toMatchObject({ releasedDeg: 28.1, releasedFrom: 'checked' })
  })
})

describe('the arm comes back', () => {
  it('and bends on: as long as nobody knows where the tube stood, it is another stroke', () => {
    const watch = arm()
    watch.feed(traceOf(letGo().stroke(40, 10, 0.1).hold(0.6).letOff(2, 0.1, 0.6)))
    const draft = watch.close()
    expect(draft?.goes).toHaveLength(1)
    expect(draft?.goes[0]).toMatchObject({
      strokes: 2,
      peakDeg: expect.closeTo(40, 1),
      releasedFrom: 'unknown',
    })
  })

  it('after it was known, it is another go', () => {
    const watch = arm()
    const samples = traceOf(letGo().stroke(40, 10, 0.1).hold(0.6).letOff(2, 0.1, 0.6))
    const rested = samples.findLastIndex(({ angleDeg }) => angleDeg < 20.05)
    watch.feed(samples.slice(0, rested))
    watch.see({ angleDeg: 28.4 })
    watch.feed(samples.slice(rested))
    watch.see({ angleDeg: 38 })
    expect(watch.close()?.goes.map(({ strokes, releasedDeg }) => [strokes, releasedDeg])).toEqual([
      [1, 28.4],
      [1, 38],
    ])
  })

  it('to the tube only, nothing begins', () => {
    const watch = arm()
    watch.feed(traceOf(letGo().byHand(28.5, 0.8).rest(2).byHand(10, 1).rest(1)))
    expect(watch.kinds().at(-1)).toBe('let-off')
  })
})
