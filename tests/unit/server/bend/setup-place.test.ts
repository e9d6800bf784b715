import { describe, expect, it } from 'vitest'
import { wholeVariance } from '../../../../server/bend/leg-prior.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { heldFrom, keysOf, type SetupPlace } from '../../../../server/bend/setup-place.ts'
import {
  departureAfterDrift,
  departureOf,
  LEVEL_SPREADS,
  materialVarianceOf,
} from '../../../../server/bend/shop-spreads.ts'

const place: SetupPlace = {
  material: materialOf('316l-annealed'),
  lot: 'A1',
  die: 'rail',
  station: 'bench 1',
  tube: { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 },
}

describe('keysOf', () => {
  it('are the same for a place of the same content, asked once or again', () => {
    const again = { ...place, tube: { ...place.tube } }
    expect(keysOf(again)).toEqual(keysOf(place))
    expect(keysOf(place)).toEqual(keysOf(place))
  })

  it.each([
    ['lot', { lot: 'A2' }, { lot: true, die: false, seat: false }],
    ['die', { die: 'bow' }, { lot: false, die: true, seat: true }],
    ['station', { station: 'bench 2' }, { lot: false, die: true, seat: true }],
    ['material', { material: materialOf('1020-dom') }, { lot: true, die: false, seat: true }],
    ['wall', { tube: { ...place.tube, wallMm: 2.1 } }, { lot: false, die: false, seat: false }],
  ])('another %s', (_name, change, differs) => {
    const [before, after] = [keysOf(place), keysOf({ ...place, ...change })]
    expect(after.setup).not.toBe(before.setup)
    for (const key of ['lot', 'die', 'seat'] as const)
      expect(after[key] !== before[key]).toBe(differs[key])
  })

  it('names with quotes, commas and brackets cannot be mistaken for each other', () => {
    const one = keysOf({ ...place, lot: 'a","b', die: 'c' })
    const other = keysOf({ ...place, lot: 'a', die: 'b","c' })
    expect(one.setup).not.toBe(other.setup)
    expect(keysOf({ ...place, station: 'a', die: 'b]' }).die).not.toBe(
      keysOf({ ...place, station: 'a","b]', die: '' }).die,
    )
  })
})

describe('heldFrom', () => {
  const bend = { id: 5, place, loadedDeg: 90, springbackDeg: 3 }

  it('a sure measurement is taken as it is', () => {
    const held = heldFrom(bend, false)
    expect(held.y).toBe(3)
    expect(held.row[0]).toBeCloseTo(1, 6)
    expect(held.row[1]).toBe(90)
  })

  it('one as uncertain as the noise weighs half', () => {
    const held = heldFrom({ ...bend, standardDeg: 0.2 }, false)
    expect(held.y ** 2).toBeCloseTo(9 / 2, 12)
    expect(held.y / held.row[1]).toBeCloseTo(3 / 90, 12)
  })

  it.each([Number.NaN, Infinity, -0.01])('an uncertainty of %d is refused', (standardDeg) => {
    expect(() => heldFrom({ ...bend, standardDeg }, false)).toThrow('standard uncertainty')
  })
})

describe('spreads', () => {
  const legs = { legVariance: 0.05 }

  it('their parts add up to the first set-up’s', () => {
    for (const key of ['1020-dom', '316l-annealed']) {
      const { slopeSpread } = materialOf(key)
      const parts =
        materialVarianceOf({ slopeSpread }) + 0.07 ** 2 + departureOf(legs, false).ratioVariance
      expect(Math.sqrt(parts)).toBeCloseTo(slopeSpread, 12)
    }
    const { shopInterceptVariance, dieInterceptVariance } = LEVEL_SPREADS
    const shared = shopInterceptVariance + dieInterceptVariance + legs.legVariance
    const whole = wholeVariance(legs)
    expect(shared + departureOf(legs, false).interceptVariance).toBeCloseTo(whole, 12)
    expect(departureOf(legs, true).interceptVariance).toBe(whole)
    expect(departureOf(legs, false).interceptVariance).toBeGreaterThan(0)
  })

  it('a spread that leaves nothing for the material keeps a little', () => {
    expect(materialVarianceOf({ slopeSpread: 0.05 })).toBeGreaterThan(0)
  })

  it('a drift widens both', () => {
    const usual = departureOf(legs, false)
    const after = departureAfterDrift(usual, 0.0049)
    expect(after.interceptVariance).toBeGreaterThan(usual.interceptVariance)
    expect(after.ratioVariance).toBeCloseTo(usual.ratioVariance + 0.0098, 12)
  })
})
