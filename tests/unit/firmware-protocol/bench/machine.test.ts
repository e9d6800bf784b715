import { describe, expect, it } from 'vitest'
import {
  FRAME,
  type Machine,
  makeMachine,
  RAM_EASY_DEG_PER_S,
  RAM_FAST_DEG_PER_S,
  RAM_SEATING_DEG_PER_S,
  seat,
  stepMachine,
  takeOut,
  type Valve,
} from '../../../../firmware-protocol/bench/machine.ts'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import {
  cutPiece,
  drawLot,
  RAIL_TUBE,
  springbackDeg,
} from '../../../../firmware-protocol/bench/tube.ts'

const STEP_S = 0.001
const HOLD: Valve = { ram: 'hold', rateDegPerS: 0 }
const RETRACT: Valve = { ram: 'retract', rateDegPerS: 0 }
const advance = (rateDegPerS: number): Valve => ({ ram: 'advance', rateDegPerS })

/** Runs for a time, or until something holds; gives the die angle of every step. */
function run(machine: Machine, valve: Valve, seconds: number, until = () => false): number[] {
  const angles: number[] = []
  for (let t = 0; t < seconds && !until(); t += STEP_S) {
    stepMachine(machine, STEP_S, valve)
    angles.push(machine.dieDeg)
  }
  return angles
}

function seated(seed = 1): Machine {
  const machine = makeMachine(makeRandom(seed, 'machine'))
  const random = makeRandom(seed, 'piece')
  seat(machine, cutPiece(RAIL_TUBE, drawLot('RT-2207', random), FRAME, random))
  return machine
}

/** Taken to about `deg` past where the block bears, and held. */
function bent(deg: number, seed = 1): Machine {
  const machine = seated(seed)
  const toDeg = machine.bearingDeg + deg
  run(machine, advance(RAM_FAST_DEG_PER_S), 60, () => machine.dieDeg >= toDeg)
  run(machine, HOLD, 3)
  return machine
}

const letOff = (machine: Machine): number[] =>
  run(machine, RETRACT, 5, () => machine.contact === 'standing')

describe('an empty bender', () => {
  it('stays where it is, whatever the valve says', () => {
    const machine = makeMachine(makeRandom(1, 'machine'))
    for (const valve of [HOLD, RETRACT, advance(8)]) run(machine, valve, 2)
    expect(machine.dieDeg).toBe(0)
    expect(machine.contact).toBe('free')
  })
})

describe('taking up the slack', () => {
  it.each([1, 2, 3, 4, 5])(
    'ends where the block bears, and the tube is not bent (seed %d)',
    (seed) => {
      const machine = seated(seed)
      const slackDeg = machine.bearingDeg
      expect(slackDeg).toBeGreaterThan(0.5)
      run(machine, advance(RAM_SEATING_DEG_PER_S), 10)
      expect(machine.dieDeg - machine.bearingDeg).toBeGreaterThan(0)
      expect(machine.dieDeg - machine.bearingDeg).toBeLessThan(0.15)
      expect(machine.contact).toBe('loaded')
    },
  )

  it('and letting off then gives back only what the tube was pressed', () => {
    const machine = seated()
    run(machine, advance(RAM_SEATING_DEG_PER_S), 10)
    letOff(machine)
    expect(machine.dieDeg).toBeCloseTo(machine.bearingDeg, 2)
  })
})

describe('the ram', () => {
  it('takes time to start, and coasts when the valve is shut', () => {
    const machine = seated()
    const start = run(machine, advance(RAM_FAST_DEG_PER_S), 2)
    const rate = (at: number): number => ((start[at] ?? 0) - (start[at - 10] ?? 0)) * 100
    expect(rate(900)).toBeLessThan(RAM_FAST_DEG_PER_S * 1.001)
    expect(rate(1990)).toBeCloseTo(RAM_FAST_DEG_PER_S, 2)
    const shutDeg = machine.dieDeg
    run(machine, HOLD, 0.4)
    expect(machine.dieDeg - shutDeg).toBeGreaterThan(0.3)
    expect(machine.dieDeg - shutDeg).toBeLessThan(1.5)
    expect(machine.ramDegPerS).toBe(0)
  })

  it('coasts less when it comes slowly: why the prompt asks to ease', () => {
    const coast = (rateDegPerS: number): number => {
      const machine = seated()
      run(machine, advance(rateDegPerS), 8)
      const shutDeg = machine.dieDeg
      run(machine, HOLD, 0.3)
      return machine.dieDeg - shutDeg
    }
    expect(coast(RAM_EASY_DEG_PER_S)).toBeLessThan(coast(RAM_FAST_DEG_PER_S) / 3)
  })

  it('never gains more speed than its acceleration gives', () => {
    const machine = seated()
    let before = 0
    for (let step = 0; step < 4000; step++) {
      stepMachine(machine, STEP_S, step % 700 < 350 ? advance(RAM_FAST_DEG_PER_S) : HOLD)
      expect(Math.abs(machine.ramDegPerS - before)).toBeLessThanOrEqual(45 * STEP_S + 1e-9)
      before = machine.ramDegPerS
    }
  })

  it('ends at the end of its travel', () => {
    const machine = seated()
    run(machine, advance(RAM_FAST_DEG_PER_S), 60)
    expect(machine.dieDeg).toBeCloseTo(185, 0)
  })
})

describe('holding', () => {
  it.each([1, 2, 3, 4, 5, 6])('creeps on by 0.02° to 0.1°, then is still (seed %d)', (seed) => {
    const machine = seated(seed)
    run(machine, advance(RAM_FAST_DEG_PER_S), 6)
    run(machine, HOLD, 1, () => machine.ramDegPerS === 0)
    const heldDeg = machine.dieDeg
    run(machine, HOLD, 4)
    expect(machine.dieDeg - heldDeg).toBeGreaterThan(0.015)
    expect(machine.dieDeg - heldDeg).toBeLessThan(0.1)
    const last = run(machine, HOLD, 1)
    expect(Math.max(...last) - Math.min(...last)).toBeLessThan(1e-4)
  })
})

describe('letting off', () => {
  it.each([15, 45, 90, 135])(
    'from %d° goes back by the springback of the tube, and stands',
    (deg) => {
      const machine = bent(deg)
      const tube = machine.tube!
      const loadedDeg = machine.mostDeg - machine.bearingDeg
      expect(machine.dieDeg).toBe(machine.mostDeg)
      letOff(machine)
      const backDeg = springbackDeg(tube, loadedDeg)
      expect(machine.mostDeg - machine.dieDeg).toBeCloseTo(backDeg, 2)
      const standsDeg = machine.dieDeg
      for (const valve of [HOLD, RETRACT]) run(machine, valve, 3)
      expect(machine.dieDeg).toBe(standsDeg)
      expect(machine.contact).toBe('standing')
    },
  )

  it.each([1, 2, 3, 4, 5, 6, 7, 8])(
    'takes 0.05 to 1 s, and falls without a step back (seed %d)',
    (seed) => {
      const machine = bent(60, seed)
      const angles = letOff(machine)
      const fallDeg = angles[0]! - angles.at(-1)!
      const most = angles.findIndex((deg) => deg < angles.at(-1)! + 0.02 * fallDeg)
      expect(most * STEP_S).toBeGreaterThan(0.05)
      expect(most * STEP_S).toBeLessThan(0.5)
      for (let at = 1; at < angles.length; at++)
        if (angles[at]! > angles[at - 1]!) expect.fail(`rises at step ${at}`)
    },
  )
})

describe('a second go on the same tube', () => {
  it('starts from where the tube stands, and adds only what is bent further', () => {
    const machine = bent(40)
    letOff(machine)
    const firstDeg = machine.dieDeg
    const toDeg = machine.mostDeg + 1
    run(machine, advance(RAM_EASY_DEG_PER_S), 20, () => machine.dieDeg >= toDeg)
    run(machine, HOLD, 2)
    letOff(machine)
    expect(machine.dieDeg - firstDeg).toBeGreaterThan(0.9)
    expect(machine.dieDeg - firstDeg).toBeLessThan(1.4)
  })

  it('that does not reach as far as before changes nothing: it was only elastic', () => {
    const machine = bent(40)
    letOff(machine)
    const firstDeg = machine.dieDeg
    run(machine, advance(RAM_EASY_DEG_PER_S), 20, () => machine.dieDeg >= machine.mostDeg - 0.7)
    run(machine, HOLD, 0.15)
    letOff(machine)
    expect(machine.dieDeg).toBeCloseTo(firstDeg, 2)
  })

  it('can begin before the let-off is over', () => {
    const machine = bent(40)
    run(machine, RETRACT, 0.02)
    expect(machine.contact).toBe('letting-off')
    const peakDeg = machine.mostDeg
    run(machine, advance(RAM_EASY_DEG_PER_S), 3)
    expect(machine.contact).toBe('loaded')
    expect(machine.dieDeg).toBeGreaterThan(peakDeg + 1)
  })
})

describe('taking the tube out', () => {
  it('moves the die back by hand to near zero, without a jump', () => {
    const machine = bent(90)
    letOff(machine)
    const fromDeg = machine.dieDeg
    takeOut(machine)
    const angles = run(machine, HOLD, 10, () => machine.hand === null)
    expect(Math.abs(angles.at(-1)!)).toBeLessThan(1)
    const steps = angles.map((deg, at) => Math.abs(deg - (angles[at - 1] ?? fromDeg)))
    expect(Math.max(...steps) / STEP_S).toBeLessThan(120)
    expect(machine.contact).toBe('free')
  })
})
