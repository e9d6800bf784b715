import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FRAME } from '../../../../firmware-protocol/bench/machine.ts'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import {
  cutPiece,
  DEMO_LOTS,
  drawLot,
  type Lot,
  type Piece,
  RAIL_TUBE,
  springbackDeg,
} from '../../../../firmware-protocol/bench/tube.ts'

const NOMINAL: Lot = { name: 'nominal', strength: 1, wall: 1, unloading: 0.87 }
const still = { between: (low: number, high: number) => (low + high) / 2, normal: () => 0 }
const cut = (lot: Partial<Lot> = {}, seed?: number): Piece =>
  cutPiece(
    RAIL_TUBE,
    { ...NOMINAL, ...lot },
    FRAME,
    seed === undefined ? still : makeRandom(seed, 'test'),
  )

describe('springback of a piece', () => {
  const piece = cut()

  it('is of the size a shop knows: 3 to 8 % of the bend at 30° to 120° (common practice, no source)', () => {
    for (const loadedDeg of [30, 60, 90, 120]) {
      const share = springbackDeg(piece, loadedDeg) / loadedDeg
      expect(share).toBeGreaterThan(0.03)
      expect(share).toBeLessThan(0.08)
    }
  })

  it('is all of it while nothing has yielded', () => {
    expect(piece.elasticDeg).toBeGreaterThan(0.1)
    for (const share of [0, 0.25, 0.5, 1])
      expect(springbackDeg(piece, share * piece.elasticDeg)).toBe(share * piece.elasticDeg)
  })

  it('is nothing for no bend, and for less than none', () => {
    expect(springbackDeg(piece, 0)).toBe(0)
    expect(springbackDeg(piece, -5)).toBe(0)
  })

  it('is a straight line from 30° on, with the arc as its slope and leg and frame as its intercept', () => {
    const at = (deg: number): number => springbackDeg(piece, deg)
    expect((at(120) - at(60)) / 60).toBeCloseTo(piece.slope, 4)
    const interceptDeg = at(120) - piece.slope * 120
    expect(interceptDeg).toBeGreaterThan(0.9 * piece.offsetDeg)
    expect(interceptDeg).toBeLessThanOrEqual(piece.offsetDeg)
  })

  it('falls short of that line at small angles: the offset is not yet built up', () => {
    const lineDeg = piece.offsetDeg + piece.slope * 5
    expect(springbackDeg(piece, 5)).toBeLessThan(lineDeg - 0.1)
  })

  it('never is more than the bend, and a further bend never stands at less (seeds 0 to 2^31)', () => {
    const lots = fc.record({
      strength: fc.double({ min: 0.5, max: 2, noNaN: true }),
      wall: fc.double({ min: 0.8, max: 1.2, noNaN: true }),
      seed: fc.nat(),
    })
    const degrees = fc.double({ min: 0, max: 180, noNaN: true })
    fc.assert(
      fc.property(lots, degrees, degrees, ({ seed, ...lot }, a, b) => {
        const any = cut(lot, seed)
        const [less, more] = a < b ? [a, b] : [b, a]
        const stands = (deg: number): number => deg - springbackDeg(any, deg)
        expect(springbackDeg(any, more)).toBeLessThanOrEqual(more)
        expect(springbackDeg(any, less)).toBeGreaterThanOrEqual(0)
        expect(stands(more)).toBeGreaterThanOrEqual(stands(less) - 1e-12)
        expect(springbackDeg(any, more)).toBeGreaterThanOrEqual(springbackDeg(any, less))
      }),
      { seed: 11, numRuns: 200 },
    )
  })
})

describe('what makes it spring back more', () => {
  const at90 = (piece: Piece): number => springbackDeg(piece, 90)
  it.each([
    ['a stronger lot', { strength: 1.1 }],
    ['a softer unloading', { unloading: 0.8 }],
  ])('%s', (_what, lot) => {
    expect(at90(cut(lot))).toBeGreaterThan(at90(cut()) * 1.03)
  })

  it('hardly the wall: moment and stiffness grow together', () => {
    expect(Math.abs(at90(cut({ wall: 1.1 })) / at90(cut()) - 1)).toBeLessThan(0.03)
  })

  it('a frame that gives, by the same for every angle', () => {
    const soft = cutPiece(RAIL_TUBE, NOMINAL, { ...FRAME, giveDegPerNm: 5e-4 }, still)
    const moreAt = (deg: number): number => springbackDeg(soft, deg) - springbackDeg(cut(), deg)
    expect(moreAt(90)).toBeGreaterThan(0.2)
    expect(moreAt(120)).toBeCloseTo(moreAt(90), 3)
  })

  it('a frame that gives nothing and no leg leave only the arc', () => {
    const rigid = cutPiece(RAIL_TUBE, NOMINAL, { legMm: 0, giveDegPerNm: 0 }, still)
    expect(rigid.offsetDeg).toBe(0)
    expect(springbackDeg(rigid, 90)).toBeCloseTo(90 * rigid.slope, 9)
  })
})

describe('lots', () => {
  it('of the demo spring differently, by some tenths of a degree at 90°, whatever the seed', () => {
    const [soft, hard] = DEMO_LOTS
    for (let seed = 0; seed < 50; seed++) {
      const at90 = (name = ''): number =>
        springbackDeg(cut(drawLot(name, makeRandom(seed, name))), 90)
      expect(at90(hard) - at90(soft), `seed ${seed}`).toBeGreaterThan(0.25)
    }
  })

  it('are the same for the same seed, and scatter by 5 to 8 % in strength from name to name', () => {
    const lot = (name: string): Lot => drawLot(name, makeRandom(5, name))
    expect(lot('A-1')).toEqual(lot('A-1'))
    const logs = Array.from({ length: 2000 }, (_, at) => Math.log(lot(`lot ${at}`).strength))
    const mean = logs.reduce((a, b) => a + b, 0) / logs.length
    const sd = Math.sqrt(logs.reduce((sum, log) => sum + (log - mean) ** 2, 0) / (logs.length - 1))
    expect(sd).toBeGreaterThan(0.05)
    expect(sd).toBeLessThan(0.08)
  })

  it('scatter more between lots than within one (seed 6)', () => {
    const spread = (pieces: readonly Piece[]): number => {
      const degrees = pieces.map((piece) => springbackDeg(piece, 90))
      const mean = degrees.reduce((a, b) => a + b, 0) / degrees.length
      return Math.sqrt(degrees.reduce((sum, deg) => sum + (deg - mean) ** 2, 0) / degrees.length)
    }
    const random = makeRandom(6, 'pieces')
    const within = Array.from({ length: 200 }, () => cutPiece(RAIL_TUBE, NOMINAL, FRAME, random))
    const between = Array.from({ length: 200 }, (_, at) =>
      cut(drawLot(`lot ${at}`, makeRandom(6, `lot ${at}`))),
    )
    expect(spread(within)).toBeGreaterThan(0.01)
    expect(spread(between)).toBeGreaterThan(2 * spread(within))
  })
})
