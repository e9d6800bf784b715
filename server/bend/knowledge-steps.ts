import { askLevels } from './levels.ts'
import type { NormalInverseGamma } from './normal-inverse-gamma.ts'
import { keysOf, type SetupPlace } from './setup-place.ts'
import { priorOf } from './setup-prior.ts'
import { know } from './shop-memory.ts'
import {
  foretoldAt,
  levelPlaceOf,
  noiseAt,
  priorOfNew,
  priorOfSetup,
  type ShopMemory,
} from './shop-nodes.ts'
import { departureOf } from './shop-spreads.ts'
import { priorFor, type SpringbackModel } from './springback.ts'

/** Each adds to the one before: other lots of the material, others on this die, the lot elsewhere, its own bends. */
type KnowledgeLevel = 'mechanics' | 'material' | 'die' | 'lot' | 'set-up'

export interface KnowledgeStep {
  readonly level: KnowledgeLevel
  /** Bends that this level adds. */
  readonly bends: number
  readonly model: SpringbackModel
}

const asModel = (belief: NormalInverseGamma): SpringbackModel => ({ belief, bends: 0 })

/** What all others say of a place: the prior of its own bends, or of its first. @throws DomainError */
export function priorAt(memory: ShopMemory, place: SetupPlace): SpringbackModel {
  const setup = memory.setups.get(keysOf(place).setup)
  return asModel(setup ? priorOfSetup(memory, setup) : priorOfNew(memory, place))
}

/** Bends made on the same die with other lots, of whatever material. */
function bendsOnDie(memory: ShopMemory, place: SetupPlace): number {
  const keys = keysOf(place)
  const [die, lot] = [memory.dies.get(keys.die) ?? null, memory.lots.get(keys.lot)]
  if (die === null) return 0
  return [...memory.setups.values()]
    .filter((setup) => setup.die === die && setup.lot !== lot)
    .reduce((sum, { records }) => sum + records, 0)
}

/**
 * How what is known of a place came together, from the section's mechanics to its own bends. Each step is exact: the
 * levels asked without what comes after it. Steps overlap in the bends they count, since a bend teaches its
 * material and its die.
 *
 * @throws DomainError of the tube or material.
 */
export function knowledgeSteps(memory: ShopMemory, place: SetupPlace): KnowledgeStep[] {
  const at = { ...levelPlaceOf(memory, place), isNewLot: true }
  const [foretold, noise] = [foretoldAt(place), noiseAt(memory, place)]
  const departure = departureOf(foretold, false)
  const asked = (where: typeof at) =>
    asModel(priorOf(askLevels(memory.levels, where), departure, foretold, noise))
  const { model, lotBends, materialBends } = know(memory, place)
  return [
    { level: 'mechanics', bends: 0, model: priorFor(place.tube, place.material) },
    {
      level: 'material',
      bends: materialBends - lotBends,
      model: asked({ ...at, seat: null, die: null }),
    },
    { level: 'die', bends: bendsOnDie(memory, place), model: asked(at) },
    { level: 'lot', bends: lotBends - model.bends, model: priorAt(memory, place) },
    { level: 'set-up', bends: model.bends, model },
  ]
}
