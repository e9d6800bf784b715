import { describe, expect, it } from 'vitest'
import { type BendTruth, makeWorkshop } from '../../../../firmware-protocol/bench/workshop.ts'
import { makeFloor } from './shop-floor.ts'

const AT_30 = { wantedDeg: 30, pastDeg: 1.5, toleranceDeg: 0.5 }

/** Every bend that was let off within the time. */
function bendsIn(seed: number, seconds: number, options = AT_30): BendTruth[] {
  const shop = makeWorkshop(seed)
  const floor = makeFloor(shop, options)
  const bends: BendTruth[] = []
  for (let second = 0; second < seconds; second += 0.5) {
    floor.step(0.5)
    const truth = shop.truth()
    if (truth && truth !== bends.at(-1)) bends.push(truth)
  }
  return bends
}

describe('the operator by itself', () => {
  it.each([1, 2, 3, 4, 5])('makes bend after bend near the angle (seed %d)', (seed) => {
    const bends = bendsIn(seed, 120)
    expect(bends.length).toBeGreaterThanOrEqual(4)
    for (const { releasedDeg, peakDeg } of bends) {
      expect(Math.abs(releasedDeg - 30)).toBeLessThan(1.2)
      expect(peakDeg - releasedDeg).toBeGreaterThan(1)
      expect(peakDeg - releasedDeg).toBeLessThan(2.5)
    }
  })

  it('does the same again with the same seed, and not with another', () => {
    expect(bendsIn(9, 60)).toEqual(bendsIn(9, 60))
    expect(bendsIn(10, 60)).not.toEqual(bendsIn(9, 60))
  })

  it('waits for as long as nobody has said what to bend', () => {
    const shop = makeWorkshop(1)
    for (let step = 0; step < 60_000; step++) shop.advance(0.001)
    expect(shop.truth()).toBeNull()
    expect(shop.sight().contact).toBe('free')
    expect(shop.takePedal()).toEqual([])
  })

  it('goes again at what is under, and then is not under any more', () => {
    const shop = makeWorkshop(2)
    const floor = makeFloor(shop, { wantedDeg: 30, pastDeg: -1.5, toleranceDeg: 0.3 })
    const verdicts = () => floor.prompts.map(({ verdict }) => verdict)
    while (!verdicts().includes('in') && floor.nowS() < 60) floor.step(0.1)
    expect(verdicts().filter((verdict) => verdict !== null)[0]).toBe('under')
    expect(shop.truth()!.piece).toBe(1)
    expect(Math.abs(shop.truth()!.releasedDeg - 30)).toBeLessThan(0.31)
  })

  it('lets what is over be, and takes it out', () => {
    const shop = makeWorkshop(2)
    const floor = makeFloor(shop, { wantedDeg: 30, pastDeg: 4, toleranceDeg: 0.3 })
    floor.step(25)
    expect(floor.prompts.map(({ verdict }) => verdict)).toContain('over')
    const { piece } = shop.truth()!
    floor.step(20)
    expect(shop.truth()!.piece).toBeGreaterThan(piece)
  })

  it('gives up after five goes at a bend that never is good enough', () => {
    const shop = makeWorkshop(3)
    const floor = makeFloor(shop, { wantedDeg: 30, pastDeg: -20, toleranceDeg: 0.001 })
    let goes = 0
    let last = shop.truth()
    for (let second = 0; second < 120 && (last?.piece ?? 1) === 1; second += 0.2) {
      floor.step(0.2)
      if (shop.truth() !== last) goes++
      last = shop.truth()
    }
    expect(goes).toBeGreaterThanOrEqual(2)
    expect(goes).toBeLessThanOrEqual(6)
    expect(last!.piece).toBe(2)
  })

  it('presses the pedal for zero with the slack out and the tube still straight', () => {
    const shop = makeWorkshop(4)
    const floor = makeFloor(shop, AT_30)
    floor.step(0.001)
    let sawSlack = false
    while (floor.pedals.length === 0) {
      floor.step(0.001)
      if (shop.sight().contact === 'slack') sawSlack = true
    }
    expect(sawSlack).toBe(true)
    expect(floor.pedals[0]).toMatchObject({ phase: 'no-datum' })
    expect(shop.sight().bentDeg).toBe(0)
    expect(shop.sight().contact).toBe('loaded')
  })

  it('lets the foot off the pedal after each press', () => {
    const shop = makeWorkshop(4)
    const edges: string[] = []
    shop.show({ phase: 'no-datum', cue: 'none', verdict: null, againDeg: null, hasJob: true })
    for (let step = 0; step < 30_000; step++) {
      shop.advance(0.001)
      edges.push(...shop.takePedal())
    }
    // Nobody takes the zero: it is asked for again and again, never twice at once.
    expect(edges.length).toBeGreaterThanOrEqual(8)
    edges.forEach((edge, at) => {
      expect(edge).toBe(at % 2 === 0 ? 'down' : 'up')
    })
  })

  it('stops about a reaction time and a coast after the call, at the easy rate', () => {
    const shop = makeWorkshop(5)
    const floor = makeFloor(shop, AT_30)
    let calledDeg = Number.NaN
    while (shop.truth() === null) {
      floor.step(0.01)
      if (Number.isNaN(calledDeg) && floor.prompts.at(-1)?.cue === 'stop')
        calledDeg = floor.bentDeg()
    }
    const onDeg = shop.truth()!.peakDeg - calledDeg
    expect(onDeg).toBeGreaterThan(0.2)
    expect(onDeg).toBeLessThan(1)
  })

  it('who is told nothing more in the middle of a bend stops when zero is lost', () => {
    const shop = makeWorkshop(6)
    const floor = makeFloor(shop, AT_30)
    while (floor.bentDeg() < 10 || floor.pedals.length === 0) floor.step(0.05)
    const blank = { phase: 'no-datum', cue: 'none', verdict: null, againDeg: null, hasJob: false }
    shop.show(blank as Parameters<typeof shop.show>[0])
    for (let step = 0; step < 5000; step++) shop.advance(0.001)
    expect(shop.sight().contact).toBe('standing')
    expect(shop.sight().bentDeg).toBeLessThan(16)
  })
})

describe('lots', () => {
  it('are changed with the next tube, and show in the springback', () => {
    const shop = makeWorkshop(7)
    const floor = makeFloor(shop, { wantedDeg: 90, pastDeg: 3, toleranceDeg: 2 })
    const backDeg = (): number => shop.truth()!.peakDeg - shop.truth()!.releasedDeg
    while (shop.truth() === null) floor.step(0.1)
    expect(shop.truth()!.lot).toBe('RT-2207')
    const firstBackDeg = backDeg()
    shop.useLot('RT-2231')
    expect(shop.view().lot).toBe('RT-2207')
    while (shop.truth()!.piece === 1) floor.step(0.1)
    expect(shop.truth()!.lot).toBe('RT-2231')
    expect(backDeg() - firstBackDeg).toBeGreaterThan(0.2)
  })

  it.each(['', 'x'.repeat(81)])('without a proper name are refused: "%s"', (name) => {
    expect(() => makeWorkshop(1).useLot(name)).toThrow('1 to 80 characters')
  })
})

describe('a person at the ram', () => {
  /** By hand: the helper has brought a tube, zero is not taken yet. */
  function seated(seed = 8) {
    const shop = makeWorkshop(seed)
    shop.order({ mode: 'hand' })
    const floor = makeFloor(shop, AT_30)
    while (!shop.view().ready) floor.step(0.01)
    return { shop, floor }
  }

  /** And the person has taken zero. */
  function ready(seed = 8) {
    const { shop, floor } = seated(seed)
    floor.press()
    const pressFor = (ram: 'advance' | 'retract', seconds: number): number => {
      const fromDeg = floor.bentDeg()
      shop.order({ ram })
      floor.step(seconds)
      shop.order({ ram: 'hold' })
      floor.step(1)
      return floor.bentDeg() - fromDeg
    }
    return { shop, floor, pressFor }
  }

  it('finds the tube in with its slack taken up; zero is left to the person', () => {
    const { shop, floor } = seated()
    const atDeg = shop.angleDeg()
    floor.step(20)
    expect(shop.angleDeg()).toBeCloseTo(atDeg, 1)
    expect(floor.pedals).toEqual([])
    expect(shop.sight().contact).toBe('loaded')
    expect(shop.view()).toEqual({ mode: 'hand', ram: 'hold', lot: 'RT-2207', ready: true })
  })

  it('is told while there is no tube to work on, and moves nothing then', () => {
    const shop = makeWorkshop(8)
    shop.order({ mode: 'hand', ram: 'advance' })
    for (let step = 0; step < 3000; step++) shop.advance(0.001)
    expect(shop.view().ready).toBe(false)
    expect(shop.sight().contact).toBe('free')
  })

  it('inches with a tap', () => {
    const { pressFor } = ready()
    pressFor('advance', 2)
    const tapDeg = pressFor('advance', 0.2)
    expect(tapDeg).toBeGreaterThan(0.1)
    expect(tapDeg).toBeLessThan(0.5)
  })

  it('moves faster the longer the button is kept, and never at more than 4 degrees a second', () => {
    const { shop, floor } = ready()
    const fastestDegPerS: number[] = []
    shop.order({ ram: 'advance' })
    for (let second = 0; second < 6; second++) {
      const fromDeg = floor.bentDeg()
      floor.step(1)
      fastestDegPerS.push(floor.bentDeg() - fromDeg)
    }
    expect(fastestDegPerS[0]).toBeLessThan(2)
    expect(fastestDegPerS[3]).toBeGreaterThan(1.5 * (fastestDegPerS[0] ?? 0))
    expect(Math.max(...fastestDegPerS)).toBeLessThanOrEqual(4)
  })

  it('coasts less than a quarter of a degree after letting go at full speed', () => {
    const { shop, floor } = ready()
    shop.order({ ram: 'advance' })
    floor.step(5)
    const atDeg = floor.bentDeg()
    shop.order({ ram: 'hold' })
    floor.step(0.3)
    expect(floor.bentDeg() - atDeg).toBeGreaterThan(0)
    expect(floor.bentDeg() - atDeg).toBeLessThan(0.25)
  })

  it.each([1, 2, 3, 4, 5])(
    'who lets go 0.25 s after the stop is called stands within 0.5° of it (seed %d)',
    (seed) => {
      const { shop, floor } = ready(seed)
      // As the station calls it: 0.2 s ahead at the present rate.
      const LEAD_S = 0.2
      const stopDeg = AT_30.wantedDeg + AT_30.pastDeg
      shop.order({ ram: 'advance' })
      let before = floor.bentDeg()
      for (let rate = 0; floor.bentDeg() + LEAD_S * rate < stopDeg; ) {
        floor.step(0.05)
        rate = (floor.bentDeg() - before) / 0.05
        before = floor.bentDeg()
      }
      floor.step(0.25)
      shop.order({ ram: 'hold' })
      floor.step(2)
      expect(Math.abs(floor.bentDeg() - stopDeg)).toBeLessThan(0.5)
    },
  )

  it('is not helped by a stop: only the button stops', () => {
    const { shop, floor } = ready()
    shop.order({ ram: 'advance' })
    floor.step(20)
    expect(floor.prompts.at(-1)?.cue).toBe('stop')
    expect(floor.bentDeg()).toBeGreaterThan(40)
  })

  it('lets off, reads as long as it takes, and goes again at the same tube', () => {
    const { shop, floor, pressFor } = ready()
    pressFor('advance', 6)
    shop.order({ ram: 'retract' })
    floor.step(60)
    expect(shop.sight().contact).toBe('standing')
    expect(shop.view()).toMatchObject({ ram: 'hold', ready: true })
    expect(floor.prompts.at(-1)).toMatchObject({ phase: 'settled', verdict: 'under' })
    const first = shop.truth()!
    floor.press()
    pressFor('advance', 4)
    pressFor('retract', 0.5)
    expect(shop.truth()!.piece).toBe(first.piece)
    expect(shop.truth()!.releasedDeg).toBeGreaterThan(first.releasedDeg + 1)
  })

  it('has the tube taken out once the bend is closed, and the next one brought', () => {
    const { shop, floor, pressFor } = ready()
    pressFor('advance', 6)
    pressFor('retract', 0.5)
    floor.step(30)
    expect(shop.sight().contact).toBe('standing')
    floor.close()
    floor.step(2)
    expect(shop.view().ready).toBe(false)
    while (!shop.view().ready && floor.nowS() < 120) floor.step(0.1)
    expect(shop.view()).toMatchObject({ ram: 'hold', ready: true })
    expect(floor.pedals).toEqual([])
    floor.press()
    expect(Math.abs(floor.bentDeg())).toBeLessThan(0.1)
    pressFor('advance', 3)
    pressFor('retract', 0.5)
    expect(shop.truth()!.piece).toBe(2)
  })

  it('who abandons under load lets off first: the tube is not pulled out of the clamp', () => {
    const { shop, floor, pressFor } = ready()
    pressFor('advance', 4)
    floor.close()
    floor.step(30)
    expect(shop.sight().contact).toBe('loaded')
    shop.order({ ram: 'retract' })
    floor.step(3)
    expect(shop.view().ready).toBe(false)
  })

  it('leaves the truth of the bend in degrees from the zero that the person took', () => {
    const { shop, floor, pressFor } = ready()
    pressFor('advance', 6)
    const peakDeg = floor.bentDeg()
    pressFor('retract', 0.5)
    expect(shop.truth()!.peakDeg).toBeCloseTo(peakDeg, 1)
    expect(shop.truth()!.releasedDeg).toBeCloseTo(floor.bentDeg(), 1)
  })

  it('can hand over in the middle of a bend, and the operator ends it well', () => {
    const { shop, floor, pressFor } = ready()
    pressFor('advance', 4)
    shop.order({ mode: 'self' })
    expect(shop.view()).toMatchObject({ mode: 'self', ram: 'hold' })
    while (shop.truth() === null && floor.nowS() < 60) floor.step(0.1)
    expect(Math.abs(shop.truth()!.releasedDeg - 30)).toBeLessThan(1)
  })

  it('can hand over a tube without zero: the operator takes it and bends', () => {
    const { shop, floor } = seated()
    shop.order({ mode: 'self' })
    while (shop.truth() === null && floor.nowS() < 60) floor.step(0.1)
    expect(floor.pedals[0]).toMatchObject({ phase: 'no-datum' })
    expect(shop.truth()!.piece).toBe(1)
    expect(Math.abs(shop.truth()!.releasedDeg - 30)).toBeLessThan(1)
  })

  it('can take over in the middle of a bend: the ram stands still, and the bend stays theirs', () => {
    const shop = makeWorkshop(9)
    const floor = makeFloor(shop, AT_30)
    while (!(floor.bentDeg() > 10 && floor.pedals.length > 0)) floor.step(0.05)
    const presses = floor.pedals.length
    shop.order({ mode: 'hand' })
    floor.step(0.5)
    const atDeg = floor.bentDeg()
    floor.step(30)
    expect(floor.bentDeg() - atDeg).toBeLessThan(0.1)
    expect(shop.sight().contact).toBe('loaded')
    shop.order({ ram: 'advance' })
    floor.step(3)
    shop.order({ ram: 'retract' })
    floor.step(30)
    expect(shop.sight().contact).toBe('standing')
    expect(shop.truth()!.piece).toBe(1)
    expect(floor.pedals.length).toBe(presses)
  })

  it('who says nothing new changes nothing', () => {
    const { shop, floor } = ready()
    shop.order({})
    shop.order({ mode: 'hand' })
    shop.order({ ram: 'hold' })
    floor.step(1)
    expect(shop.view()).toEqual({ mode: 'hand', ram: 'hold', lot: 'RT-2207', ready: true })
  })
})
