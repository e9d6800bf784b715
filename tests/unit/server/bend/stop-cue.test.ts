import { describe, expect, it } from 'vitest'
import type { CueEvent, CycleEvent } from '../../../../server/bend/cycle-event.ts'
import {
  cueCycleEvent,
  newStopCue,
  type StopCueState,
  setCueAim,
  stepStopCue,
} from '../../../../server/bend/stop-cue.ts'
import { seeded } from '../../../support/synthetic-trace.ts'

const AIM = { commandedDeg: 92, leadS: 0.25, toleranceDeg: 1 }
const bending = (go = 1, stroke = 1): CycleEvent => ({ kind: 'bending', timeS: 0, go, stroke })
const held = (angleDeg: number): CycleEvent => ({ kind: 'held', timeS: 0, angleDeg })
const lettingOff: CycleEvent = { kind: 'letting-off', timeS: 0, peakDeg: 92, peakAtS: 0 }

function bench(aim: typeof AIM | null = AIM) {
  let state: StopCueState = newStopCue()
  const events: CueEvent[] = []
  let timeS = 0
  setCueAim(state, aim)
  return {
    events,
    state: () => state,
    cues: () => events.map(({ cue }) => cue),
    tell: (event: CycleEvent) => cueCycleEvent(state, event),
    aim: (next: typeof AIM | null) => setCueAim(state, next),
    save() {
      state = JSON.parse(JSON.stringify(state))
    },
    at(angleDeg: number, rateDegPerS: number) {
      timeS += 0.005
      stepStopCue(state, { timeS, angleDeg, rateDegPerS }, (event) => events.push(event))
      return state.cue
    },
    /** Moves evenly from one angle to another. */
    move(fromDeg: number, toDeg: number, rateDegPerS: number) {
      for (let angleDeg = fromDeg; angleDeg < toDeg; angleDeg += rateDegPerS * 0.005)
        this.at(angleDeg, rateDegPerS)
    },
  }
}

describe('the stages of a go', () => {
  it('bend, ease, stop, over, each once, as the angle passes the aim', () => {
    const { tell, move, cues, ...rest } = bench()
    tell(bending())
    move.call({ ...rest, tell, move, cues }, 5, 95, 10)
    expect(cues()).toEqual(['bend', 'ease', 'stop', 'over'])
  })

  it.each([
    [1, 91.75],
    [4, 91],
    [10, 89.5],
    [20, 87],
  ])(
    'at %d °/s the stop is called at %d°: the way of the lead time before the aim',
    (rate, stopDeg) => {
      const cue = bench()
      cue.tell(bending())
      cue.move(50, 93, rate)
      const stop = cue.events.find((event) => event.cue === 'stop')!
      expect(stop.angleDeg).toBeGreaterThanOrEqual(stopDeg - 1e-9)
      expect(stop.angleDeg).toBeLessThan(stopDeg + rate * 0.005 + 1e-9)
      expect(stop.rateDegPerS).toBe(rate)
      expect([cue.state().stopDeg, cue.state().stopRateDegPerS]).toEqual([stop.angleDeg, rate])
    },
  )

  it('ease comes in time to slow down: over a second before the stop, or one degree', () => {
    for (const rate of [0.5, 2, 10, 20]) {
      const cue = bench()
      cue.tell(bending())
      cue.move(50, 93, rate)
      const [ease, stop] = ['ease', 'stop'].map(
        (name) => cue.events.find((event) => event.cue === name)!,
      )
      expect(stop!.angleDeg - ease!.angleDeg).toBeGreaterThan(
        Math.max(1, rate * 1.2) - rate * 0.01 - 1e-9,
      )
    }
  })

  it('slowing down does not take the ease back, and moves the stop nearer to the aim', () => {
    const cue = bench()
    cue.tell(bending())
    cue.move(50, 80, 10)
    expect(cue.at(82, 10)).toBe('ease')
    expect(cue.at(82.5, 1)).toBe('ease')
    expect(cue.at(91, 1)).toBe('ease')
    expect(cue.at(91.8, 1)).toBe('stop')
  })

  it('over begins beyond the tolerance, and not at once when there is none', () => {
    const wide = bench()
    wide.tell(bending())
    expect(wide.at(92.9, 0)).toBe('stop')
    expect(wide.at(93.01, 0)).toBe('over')
    const narrow = bench({ ...AIM, toleranceDeg: 0 })
    narrow.tell(bending())
    expect(narrow.at(92.05, 0)).toBe('stop')
    expect(narrow.at(92.2, 0)).toBe('over')
  })
})

describe('it does not chatter', () => {
  it('a noisy angle and rate call each stage once', () => {
    const cue = bench()
    const { normal } = seeded(42)
    cue.tell(bending())
    for (let angleDeg = 60; angleDeg < 95; angleDeg += 0.02)
      cue.at(angleDeg + 0.1 * normal(), 4 + 2 * normal())
    expect(cue.cues()).toEqual(['bend', 'ease', 'stop', 'over'])
  })

  it('standing just at the aim, with noise, changes nothing', () => {
    const cue = bench()
    const { normal } = seeded(43)
    cue.tell(bending())
    cue.move(80, 92, 4)
    cue.tell(held(92))
    for (let index = 0; index < 2000; index += 1) cue.at(92 + 0.03 * normal(), 0.2 * normal())
    expect(cue.cues().filter((name) => name === 'stop')).toHaveLength(1)
    expect(cue.cues().at(-1)).toBe('stop')
  })

  it('creeping back on the hold by less than half the tolerance keeps the stop', () => {
    const cue = bench()
    cue.tell(bending())
    cue.move(80, 92, 2)
    cue.tell(held(91.8))
    expect(cue.at(91.6, 0)).toBe('stop')
  })
})

describe('it is looked at afresh', () => {
  it('stopped short because of a fast rate: the next stroke is called again', () => {
    const cue = bench()
    cue.tell(bending())
    cue.move(50, 88, 20)
    expect(cue.state().cue).toBe('stop')
    cue.tell(held(88))
    expect(cue.at(88, 0)).toBe('bend')
    cue.tell(bending(1, 2))
    cue.move(88, 92.5, 2)
    expect(cue.events.filter(({ cue: name }) => name === 'stop')).toHaveLength(2)
    expect(cue.state().stopRateDegPerS).toBe(2)
  })

  it('nothing is said before the load and after it', () => {
    const cue = bench()
    cue.at(95, 10)
    expect(cue.cues()).toEqual([])
    cue.tell(bending())
    cue.move(80, 92, 4)
    cue.tell(lettingOff)
    expect(cue.at(90, -10)).toBe('none')
  })

  it('a second go starts anew, without the stop of the first', () => {
    const cue = bench()
    cue.tell(bending())
    cue.move(80, 92, 4)
    cue.tell(lettingOff)
    cue.at(89, 0)
    cue.aim({ ...AIM, commandedDeg: 94 })
    cue.tell(bending(2, 1))
    expect(cue.state().stopDeg).toBeNull()
    expect(cue.at(91, 2)).toBe('bend')
    cue.move(91, 94, 2)
    expect(cue.state().cue).toBe('stop')
  })

  it('a new aim in the middle may take the stop back, or call it', () => {
    const cue = bench()
    cue.tell(bending())
    cue.move(80, 92, 4)
    cue.aim({ ...AIM, commandedDeg: 120 })
    expect(cue.at(92, 4)).toBe('bend')
    cue.aim({ ...AIM, commandedDeg: 90 })
    expect(cue.at(92, 4)).toBe('over')
    cue.aim(null)
    expect(cue.at(92, 4)).toBe('none')
  })

  it.each<CycleEvent>([
    { kind: 'closed', timeS: 1, reason: 'accepted' },
    { kind: 'false-start', timeS: 1 },
    { kind: 'taken-out', timeS: 1 },
    { kind: 'datum', timeS: 1, readoutDeg: 0 },
  ])('$kind ends it', (event) => {
    const cue = bench()
    cue.tell(bending())
    cue.at(50, 5)
    cue.tell(event)
    expect(cue.at(92, 5)).toBe('none')
  })
})

describe('bad inputs', () => {
  it('an angle or a rate that is no number changes nothing', () => {
    const cue = bench()
    cue.tell(bending())
    cue.at(50, 5)
    expect(cue.at(Number.NaN, 5)).toBe('bend')
    expect(cue.at(99, Number.NaN)).toBe('bend')
    expect(cue.at(Number.POSITIVE_INFINITY, 5)).toBe('bend')
  })

  it('a die that moves back brings no stop nearer', () => {
    const cue = bench()
    cue.tell(bending())
    expect(cue.at(91, -100)).toBe('ease')
  })

  it('without an aim nothing is ever said', () => {
    const cue = bench(null)
    cue.tell(bending())
    cue.move(0, 150, 20)
    expect(cue.events).toEqual([])
  })

  it('its memory goes through JSON', () => {
    const saved = bench()
    const kept = bench()
    for (const cue of [saved, kept]) {
      cue.tell(bending())
      for (let angleDeg = 80; angleDeg < 94; angleDeg += 0.5) {
        if (cue === saved) cue.save()
        cue.at(angleDeg, 4)
      }
    }
    expect(saved.events).toEqual(kept.events)
    expect(saved.state()).toEqual(kept.state())
  })
})
