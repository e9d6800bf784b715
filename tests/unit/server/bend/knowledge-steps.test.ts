import { describe, expect, test } from 'vitest'
import { knowledgeSteps, priorAt } from '../../../../server/bend/knowledge-steps.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { keysOf, type SetupPlace, type ShopBend } from '../../../../server/bend/setup-place.ts'
import { know, teach } from '../../../../server/bend/shop-memory.ts'
import { newShopMemory, priorOfNew } from '../../../../server/bend/shop-nodes.ts'
import {
  coefficientsOf,
  priorFor,
  type SpringbackModel,
} from '../../../../server/bend/springback.ts'

const material = materialOf('316l-annealed')
const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const place = (lot: string, die = 'rail'): SetupPlace => ({
  ...{ material, lot, die, station: 'bench 1', tube },
})
const { slope } = coefficientsOf(priorFor(tube, material))

let nextId = 1
/** Bends of a lot whose slope is `ratio` of the predicted one, with a scatter that repeats itself. */
const bendsAt = (at: SetupPlace, count: number, ratio: number): ShopBend[] =>
  Array.from({ length: count }, (_, k) => {
    const loadedDeg = [92, 40, 64][k % 3] ?? 92
    const springbackDeg = 0.8 + ratio * slope * loadedDeg + 0.06 * ((k % 5) - 2)
    return { id: nextId++, place: at, loadedDeg, springbackDeg }
  })

function memoryOf(...bends: readonly ShopBend[][]) {
  const memory = newShopMemory()
  for (const bend of bends.flat()) teach(memory, bend)
  return memory
}

const KEYS = ['r11', 'r12', 'r22', 'z1', 'z2', 'shape', 'rate'] as const
function expectAlike(one: SpringbackModel | undefined, other: SpringbackModel) {
  for (const key of KEYS) expect(one?.belief[key]).toBeCloseTo(other.belief[key], 8)
}

describe('how what is known came together', () => {
  const [others, elsewhere] = [
    bendsAt(place('A1'), 9, 1.2),
    bendsAt(place('A2', 'ladder'), 7, 1.15),
  ]
  const sameLot = bendsAt(place('B1', 'ladder'), 5, 0.9)
  const own = bendsAt(place('B1'), 6, 0.92)
  const memory = memoryOf(others, elsewhere, sameLot, own)
  const steps = knowledgeSteps(memory, place('B1'))
  const at = (level: string) => steps.find((step) => step.level === level)

  test('begins with the mechanics and ends with what the station aims by', () => {
    expect(steps.map(({ level }) => level)).toEqual([
      'mechanics',
      'material',
      'die',
      'lot',
      'set-up',
    ])
    expectAlike(at('mechanics')?.model, priorFor(tube, material))
    expect(at('set-up')?.model).toEqual(know(memory, place('B1')).model)
  })

  test('other lots of the material say what they would to a shop without this one, on a new die', () => {
    const without = memoryOf(others, elsewhere)
    // The scatter of this lot elsewhere is known to the shop with it.
    const seen = memory.setups.get(keysOf(place('B1')).setup)?.series.errors
    without.errors = {
      sum: memory.errors.sum - (seen?.sum ?? 0),
      count: memory.errors.count - (seen?.count ?? 0),
    }
    const belief = priorOfNew(without, place('new', 'new die'))
    expectAlike(at('material')?.model, { belief, bends: 0 })
    expectAlike(at('die')?.model, { belief: priorOfNew(without, place('new')), bends: 0 })
  })

  test('the lot elsewhere says what the prior of its own bends is', () => {
    expectAlike(at('lot')?.model, priorAt(memory, place('B1')))
    const before = memoryOf(others, elsewhere, sameLot)
    const slopeOf = (model: SpringbackModel) => coefficientsOf(model).slope
    expect(slopeOf(priorAt(memory, place('B1')))).toBeCloseTo(
      slopeOf(priorAt(before, place('B1'))),
      8,
    )
  })

  test('counts the bends that each level adds', () => {
    expect(steps.map(({ bends }) => bends)).toEqual([0, 16, 9, 5, 6])
  })

  test('asks, and changes nothing by it', () => {
    const again = memoryOf(others, elsewhere, sameLot, own)
    expect(know(again, place('B1'))).toEqual(know(memory, place('B1')))
  })
})

test('where nothing was bent every step is the mechanics', () => {
  const prior = priorFor(tube, material)
  const steps = knowledgeSteps(newShopMemory(), place('A1'))
  expect(steps.map(({ bends }) => bends)).toEqual([0, 0, 0, 0, 0])
  for (const { model } of steps) expectAlike(model, prior)
})
