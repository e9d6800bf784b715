import { describe, expect, it } from 'vitest'
import {
  type BendDraft,
  type DraftState,
  draftAim,
  draftCue,
  draftCycle,
  newDraft,
} from '../../../../server/bend/bend-draft.ts'
import type { CueEvent, CycleEvent } from '../../../../server/bend/cycle-event.ts'

const datum: CycleEvent = { kind: 'datum', timeS: 100, readoutDeg: 12.3456789 }
const bending = (go: number, stroke = 1): CycleEvent => ({
  kind: 'bending',
  timeS: 101,
  go,
  stroke,
})
const settled = (go: number, releasedDeg: number, more = {}): CycleEvent => ({
  kind: 'settled',
  timeS: 112,
  go,
  strokes: 1,
  peakDeg: releasedDeg + 2.50000049,
  peakAtS: 109.12345678,
  releasedDeg,
  releasedAtS: 110.5,
  releasedSeDeg: 0.00400049,
  ...more,
})
const closed = (more = {}): CycleEvent => ({
  kind: 'closed',
  timeS: 120,
  reason: 'accepted',
  ...more,
})
const stop = (angleDeg: number): CueEvent => ({ timeS: 108, cue: 'stop', angleDeg, rateDegPerS: 4 })
const AIM = { commandedDeg: 92.3500000049, leadS: 0.25, toleranceDeg: 1 }

/** Folds events; saves and restores the memory before each. */
function fold(...events: (CycleEvent | CueEvent | typeof AIM)[]): BendDraft | null {
  let state: DraftState = newDraft()
  let draft: BendDraft | null = null
  for (const event of events) {
    state = JSON.parse(JSON.stringify(state))
    if ('commandedDeg' in event) draftAim(state, event)
    else if ('cue' in event) draftCue(state, event)
    else draft = draftCycle(state, event) ?? draft
  }
  return draft
}

describe('a bend', () => {
  it('has everything of its go, in millionths, with times from the datum', () => {
    expect(fold(AIM, datum, bending(1), stop(91.2000001), settled(1, 90.1), closed())).toEqual({
      startedAtS: 100,
      datumDeg: 12.345679,
      goes: [
        {
          commandedDeg: 92.35,
          cueDeg: 91.2,
          cueRateDegPerS: 4,
          peakDeg: 92.6,
          peakAtS: 9.123457,
          releasedDeg: 90.1,
          releasedSeDeg: 0.004,
          releasedAtS: 10.5,
          strokes: 1,
        },
      ],
      closedBy: 'accepted',
      finishedAtS: 120,
      complete: true,
    })
  })

  it('keeps the last word on a go, with its aim and its cue', () => {
    const draft = fold(
      AIM,
      datum,
      bending(1),
      stop(91),
      settled(1, 90.1),
      settled(1, 90.12),
      closed(),
    )
    expect(draft!.goes).toHaveLength(1)
    expect(draft!.goes[0]).toMatchObject({ releasedDeg: 90.12, cueDeg: 91, commandedDeg: 92.35 })
  })

  it('has each go under its own aim and its own cue', () => {
    const again = { ...AIM, commandedDeg: 93 }
    const first = [AIM, datum, bending(1), stop(91), settled(1, 89)] as const
    const draft = fold(...first, again, bending(2), stop(92.5), settled(2, 90.2), closed())
    expect(draft!.goes.map((go) => [go.commandedDeg, go.cueDeg, go.releasedDeg])).toEqual([
      [92.35, 91, 89],
      [93, 92.5, 90.2],
    ])
    expect(draft!.complete).toBe(true)
  })

  it('an aim that is set for the next go does not change the one that settled', () => {
    const again = { ...AIM, commandedDeg: 93 }
    const draft = fold(AIM, datum, bending(1), settled(1, 89), again, settled(1, 89.01), closed())
    expect(draft!.goes[0]).toMatchObject({ commandedDeg: 92.35, releasedDeg: 89.01 })
  })

  it('a stop called again in a later stroke is the one that counts', () => {
    const draft = fold(
      AIM,
      datum,
      bending(1),
      stop(80),
      bending(1, 2),
      stop(91),
      settled(1, 90),
      closed(),
    )
    expect(draft!.goes[0]!.cueDeg).toBe(91)
  })

  it('without an aim and a cue has nulls, not zeros', () => {
    const draft = fold(datum, bending(1), settled(1, 90), closed())
    expect(draft!.goes[0]).toMatchObject({ commandedDeg: null, cueDeg: null, cueRateDegPerS: null })
  })

  it('other stages of the cue, and a stop that no go asked for, leave no trace', () => {
    const ease: CueEvent = { ...stop(88), cue: 'ease' }
    const draft = fold(stop(1), datum, stop(2), bending(1), ease, settled(1, 90), stop(3), closed())
    expect(draft!.goes[0]!.cueDeg).toBeNull()
  })
})

describe('what was not bent, or not to the end', () => {
  it('nothing bent: no draft', () => {
    expect(fold(datum, closed())).toBeNull()
    expect(fold(datum, bending(1), { kind: 'false-start', timeS: 103 }, closed())).toBeNull()
    expect(fold(closed())).toBeNull()
  })

  it('closed under load: as far as it was taken, and incomplete', () => {
    const draft = fold(AIM, datum, bending(1, 1), bending(1, 2), stop(50), closed({ topDeg: 51.5 }))
    expect(draft).toMatchObject({ complete: false, closedBy: 'accepted' })
    expect(draft!.goes).toEqual([
      {
        commandedDeg: 92.35,
        cueDeg: 50,
        cueRateDegPerS: 4,
        peakDeg: 51.5,
        peakAtS: 20,
        releasedDeg: null,
        releasedSeDeg: null,
        releasedAtS: null,
        strokes: 2,
      },
    ])
  })

  it('taken out before it settled: the peak is known, the released angle is not', () => {
    const off: CycleEvent = { kind: 'letting-off', timeS: 110, peakDeg: 92.4, peakAtS: 109 }
    const draft = fold(datum, bending(1), off, { kind: 'taken-out', timeS: 111 }, closed())
    expect(draft).toMatchObject({ complete: false })
    expect(draft!.goes[0]).toMatchObject({ peakDeg: 92.4, peakAtS: 9, releasedDeg: null })
  })

  it('taken out after it settled is complete', () => {
    const draft = fold(
      datum,
      bending(1),
      settled(1, 90),
      { kind: 'taken-out', timeS: 113 },
      closed(),
    )
    expect(draft).toMatchObject({ complete: true })
    expect(draft!.goes).toHaveLength(1)
  })

  it('a second go that is not let off makes the bend incomplete, and keeps the first', () => {
    const draft = fold(datum, bending(1), settled(1, 89), bending(2), closed({ topDeg: 95 }))
    expect(draft!.complete).toBe(false)
    expect(draft!.goes.map((go) => go.releasedDeg)).toEqual([89, null])
  })

  it('a second go that was none leaves the first as it was', () => {
    const none: CycleEvent = { kind: 'false-start', timeS: 115 }
    const draft = fold(datum, bending(1), settled(1, 90), bending(2), none, closed())
    expect(draft).toMatchObject({ complete: true })
    expect(draft!.goes).toHaveLength(1)
  })

  it('the higher of hold and letting off is the peak of an unmeasured go', () => {
    const held: CycleEvent = { kind: 'held', timeS: 108, angleDeg: 92.6 }
    const draft = fold(datum, bending(1), held, closed({ topDeg: 92.5 }))
    expect(draft!.goes[0]).toMatchObject({ peakDeg: 92.6, peakAtS: 8 })
  })
})

describe('limits', () => {
  it('a new datum starts from nothing', () => {
    const later: CycleEvent = { kind: 'datum', timeS: 200, readoutDeg: 1 }
    const first = [datum, bending(1), settled(1, 90), closed()] as const
    const draft = fold(...first, later, bending(1), settled(1, 45), closed({ timeS: 240 }))
    expect(draft).toMatchObject({ startedAtS: 200, datumDeg: 1 })
    expect(draft!.goes.map((go) => go.releasedDeg)).toEqual([45])
  })

  it('keeps 50 goes, the last of them the newest', () => {
    const goes = Array.from({ length: 60 }, (_, place) => [
      bending(place + 1),
      settled(place + 1, 30 + place),
    ])
    const draft = fold(datum, ...goes.flat(), closed())
    expect(draft!.goes).toHaveLength(50)
    expect(draft!.goes.at(-1)!.releasedDeg).toBe(89)
  })
})
