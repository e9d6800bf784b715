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
  /** In hand mode, seated and zeroed by the helper. */
  function ready(seed = 8) {
    const shop = makeWorkshop(seed)
    shop.order({ mode: 'hand' })
    const floor = makeFloor(shop, AT_30)
    while (floor.pedals.length === 0) floor.step(0.01)
    return { shop, floor }
  }

  it('finds the tube seated and zero taken, and the ram at rest', () => {
    const { shop, floor } = ready()
    const atDeg = floor.bentDeg()
    floor.step(10)
    expect(floor.bentDeg()).toBeCloseTo(atDeg, 1)
    expect(shop.view()).toEqual({ mode: 'hand', ram: 'hold', lot: 'RT-2207' })
  })

  it('inches with a tap, and moves fast when the button is kept', () => {
    const { shop, floor } = ready()
    const pressFor = (seconds: number): number => {
      const fromDeg = floor.bentDeg()
      shop.order({ ram: 'advance' })
      floor.step(seconds)
      shop.order({ ram: 'hold' })
      floor.step(1)
      return floor.bentDeg() - fromDeg
    }
    pressFor(2)
    const tapDeg = pressFor(0.2)
    expect(tapDeg).toBeGreaterThan(0.1)
    expect(tapDeg).toBeLessThan(0.8)
    expect(pressFor(2)).toBeGreaterThan(8)
  })

  it('is not helped by a stop: only the button stops', () => {
    const { shop, floor } = ready()
    shop.order({ ram: 'advance' })
    floor.step(7)
    expect(floor.prompts.at(-1)?.cue).toBe('stop')
    expect(floor.bentDeg()).toBeGreaterThan(40)
  })

  it('lets off with a short press, reads, and goes again', () => {
    const { shop, floor } = ready()
    shop.order({ ram: 'advance' })
    floor.step(4)
    shop.order({ ram: 'hold' })
    floor.step(1)
    shop.order({ ram: 'retract' })
    floor.step(0.5)
    shop.order({ ram: 'hold' })
    floor.step(20)
    expect(shop.sight().contact).toBe('standing')
    const first = shop.truth()!
    shop.order({ ram: 'advance' })
    floor.step(2)
    shop.order({ ram: 'retract' })
    floor.step(1)
    expect(shop.truth()!.piece).toBe(first.piece)
    expect(shop.truth()!.releasedDeg).toBeGreaterThan(first.releasedDeg + 0.2)
  })

  it.each([
    ['kept pressed', [4]],
    ['pressed a second time', [0.8, 0.3]],
  ])(
    'takes the tube out with the button %s; the next one is seated by itself',
    (_what, presses) => {
      const { shop, floor } = ready()
      shop.order({ ram: 'advance' })
      floor.step(4)
      for (const seconds of presses) {
        shop.order({ ram: 'hold' })
        floor.step(1)
        shop.order({ ram: 'retract' })
        floor.step(seconds)
      }
      shop.order({ ram: 'hold' })
      const before = floor.pedals.length
      floor.step(12)
      expect(floor.pedals.length).toBe(before + 1)
      expect(floor.prompts.at(-1)?.phase).toBe('seated')
      expect(Math.abs(floor.bentDeg())).toBeLessThan(0.2)
    },
  )

  it('can hand over in the middle of a bend, and the operator ends it well', () => {
    const { shop, floor } = ready()
    shop.order({ ram: 'advance' })
    floor.step(2)
    shop.order({ mode: 'self' })
    expect(shop.view()).toMatchObject({ mode: 'self', ram: 'hold' })
    while (shop.truth() === null && floor.nowS() < 60) floor.step(0.1)
    expect(Math.abs(shop.truth()!.releasedDeg - 30)).toBeLessThan(1)
  })

  it('can take over in the middle of a bend: the ram stands still at once', () => {
    const shop = makeWorkshop(9)
    const floor = makeFloor(shop, AT_30)
    while (!(floor.bentDeg() > 10 && floor.pedals.length > 0)) floor.step(0.05)
    shop.order({ mode: 'hand' })
    floor.step(0.5)
    const atDeg = floor.bentDeg()
    floor.step(5)
    expect(floor.bentDeg() - atDeg).toBeLessThan(0.1)
  })

  it('who says nothing new changes nothing', () => {
    const { shop, floor } = ready()
    shop.order({})
    shop.order({ mode: 'hand' })
    shop.order({ ram: 'hold' })
    floor.step(1)
    expect(shop.view()).toEqual({ mode: 'hand', ram: 'hold', lot: 'RT-2207' })
  })
})
