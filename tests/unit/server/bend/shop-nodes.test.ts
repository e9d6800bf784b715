import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { aimUnderCosts } from '../../../../server/bend/cost-aim.ts'
import { NODES_MAX } from '../../../../server/bend/level-solver.ts'
import { MATERIALS, materialOf } from '../../../../server/bend/materials.ts'
import { meanOf, predictAt } from '../../../../server/bend/normal-inverse-gamma.ts'
import type { SetupPlace, ShopBend } from '../../../../server/bend/setup-place.ts'
import { know, teach } from '../../../../server/bend/shop-memory.ts'
import { newShopMemory } from '../../../../server/bend/shop-nodes.ts'
import { priorFor } from '../../../../server/bend/springback.ts'

const SEED = 31_415

const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const placeAt = (material: number, lot: number, die: number): SetupPlace => ({
  material: MATERIALS[material % MATERIALS.length]!,
  lot: `lot ${lot}`,
  die: `die ${die}`,
  station: 'bench 1',
  tube: { ...tube, clrMm: 80 + 20 * (die % 5) },
})

/** Anything that a record may hold, however unlikely: a slipping clamp, a wrong tube, a wild readout. */
const anyBend = fc.record({
  material: fc.nat(3),
  lot: fc.nat(4),
  die: fc.nat(3),
  loadedDeg: fc.double({ min: 0.5, max: 200, noNaN: true }),
  share: fc.double({ min: 1e-6, max: 0.999, noNaN: true }),
  standardDeg: fc.option(fc.double({ min: 0, max: 50, noNaN: true }), { nil: undefined }),
})

describe('whatever is bent', () => {
  it(`the memory stays finite, and the same when taught again (seed ${SEED})`, () =>
    fc.assert(
      fc.property(fc.array(anyBend, { minLength: 1, maxLength: 80 }), (list) => {
        const bends = list.map(
          ({ material, lot, die, loadedDeg, share, standardDeg }, k): ShopBend => {
            const place = placeAt(material, lot, die)
            const bend = { id: k, place, loadedDeg, springbackDeg: loadedDeg * share }
            return standardDeg === undefined ? bend : { ...bend, standardDeg }
          },
        )
        const [memory, again] = [newShopMemory(), newShopMemory()]
        for (const bend of bends) {
          expect(Number.isFinite(teach(memory, bend).score)).toBe(true)
          teach(again, bend)
        }
        for (const { place } of bends) {
          const { belief } = know(memory, place).model
          expect(meanOf(belief).every(Number.isFinite)).toBe(true)
          expect(predictAt(belief, [1, 90]).scale).toBeGreaterThan(0)
          expect(know(again, place)).toEqual(know(memory, place))
        }
      }),
      { seed: SEED, numRuns: 60 },
    ))
})

describe('more materials and dies than can share', () => {
  it('those past the limit start from the mechanics, and learn by themselves', () => {
    const memory = newShopMemory()
    const bendAt = (die: number, id: number): ShopBend => ({
      id,
      place: placeAt(0, die, die),
      loadedDeg: 90,
      springbackDeg: 4,
    })
    for (let die = 0; die < NODES_MAX; die++) teach(memory, bendAt(die, die))
    expect(memory.levels.system.size).toBe(NODES_MAX)
    const last = bendAt(NODES_MAX + 5, 999)
    teach(memory, last)
    expect(memory.levels.system.size).toBe(NODES_MAX)
    expect(know(memory, last.place).model.bends).toBe(1)
    const late = { ...placeAt(0, 777, 777), material: materialOf('copper-soft') }
    const [a, b] = meanOf(know(memory, late).model.belief)
    const [a0, b0] = meanOf(priorFor(late.tube, late.material).belief)
    expect(b).toBeCloseTo(b0, 3)
    expect(Math.abs(a - a0)).toBeLessThan(0.4)
  })
})

it('an aim can be had of every material, known or not', () => {
  const memory = newShopMemory()
  MATERIALS.forEach((_, k) => {
    const options = { wantedDeg: 60, toleranceDeg: 0.5, costs: { oneMoreGo: 1, scrap: 10 } }
    const { model, lotBends } = know(memory, placeAt(k, 0, 0))
    const aim = aimUnderCosts(model, { ...options, lotBends })
    expect(aim.commandedDeg).toBeGreaterThan(60 - 20)
    expect(aim.why).toContain('First bend of this lot')
  })
})
