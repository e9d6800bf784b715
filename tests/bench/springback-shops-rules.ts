import { aimFor } from '../../server/bend/aim.ts'
import { aimUnderCosts } from '../../server/bend/cost-aim.ts'
import { mayTeach } from '../../server/bend/learnable.ts'
import { secondGoDeg } from '../../server/bend/second-go.ts'
import { know, teach } from '../../server/bend/shop-memory.ts'
import { newShopMemory } from '../../server/bend/shop-nodes.ts'
import { coefficientsOf } from '../../server/bend/springback.ts'
import { predictSpringback } from '../../server/bend/springback-prediction.ts'
import type { PlannedBend } from './springback-shops-world.ts'

export const TOLERANCE_DEG = 0.5
/** A tube with the work in it against the minute that one more go takes (judgement). */
const SCRAP_COST = 10

/** What a hand or a program has seen of a bend: its last go. */
interface Seen {
  readonly peakDeg: number
  readonly springbackDeg: number
}

/** One way to choose angles, with a memory for one shop. */
export interface Rule {
  first(bend: PlannedBend): number
  again(bend: PlannedBend, go: { peakDeg: number; releasedDeg: number }): number
  saw(bend: PlannedBend, seen: Seen): void
  /** Whether the 95 % interval at the first go's peak held what then came back. */
  held?(bend: PlannedBend, peakDeg: number, springbackDeg: number): boolean
}

/** Before anything was seen: what hands say of mild steel (common practice, no source). */
const FIRST_DEG = 2.5
const FIRST_SHARE = 0.04

/** Simple rules go again by what is missing and the usual share of it. */
const againByShare = (
  { wantedDeg }: PlannedBend,
  go: { peakDeg: number; releasedDeg: number },
): number => go.peakDeg + (wantedDeg - go.releasedDeg) * (1 + FIRST_SHARE)

const mean = (values: readonly number[]) => values.reduce((s, v) => s + v, 0) / values.length

/** What a simple rule allows, from the bends of the material and of the lot, oldest first. */
type Allowance = (wantedDeg: number, ofMaterial: readonly Seen[], ofLot: readonly Seen[]) => number

function simple(allow: Allowance, shortDeg = 0): () => Rule {
  return () => {
    const materials = new Map<string, Seen[]>()
    let lot: Seen[] = []
    const ofMaterial = ({ place }: PlannedBend) => materials.get(place.material.key) ?? []
    return {
      first(bend) {
        if (bend.inLot === 0) lot = []
        return bend.wantedDeg + allow(bend.wantedDeg, ofMaterial(bend), lot) - shortDeg
      },
      again: againByShare,
      saw(bend, seen) {
        lot.push(seen)
        materials.set(bend.place.material.key, [...ofMaterial(bend), seen])
      },
    }
  }
}

const averageDeg: Allowance = (_wantedDeg, all) =>
  all.length === 0 ? FIRST_DEG : mean(all.map(({ springbackDeg }) => springbackDeg))

const averageShare: Allowance = (wantedDeg, all) =>
  wantedDeg *
  (all.length === 0
    ? FIRST_SHARE
    : mean(all.map(({ springbackDeg, peakDeg }) => springbackDeg / (peakDeg - springbackDeg))))

const lastDeg: Allowance = (_wantedDeg, all, lot) =>
  (lot.at(-1) ?? all.at(-1))?.springbackDeg ?? FIRST_DEG

const lastShare: Allowance = (wantedDeg, all, lot) => {
  const last = lot.at(-1) ?? all.at(-1)
  if (!last) return wantedDeg * FIRST_SHARE
  return (wantedDeg * last.springbackDeg) / (last.peakDeg - last.springbackDeg)
}

const leastSquares: Allowance = (wantedDeg, all, lot) => {
  const x = mean(lot.map(({ peakDeg }) => peakDeg))
  const y = mean(lot.map(({ springbackDeg }) => springbackDeg))
  const spread = mean(lot.map(({ peakDeg }) => (peakDeg - x) ** 2))
  if (!(spread > 1)) return lastShare(wantedDeg, all, lot)
  const slope = mean(lot.map((b) => (b.peakDeg - x) * (b.springbackDeg - y))) / spread
  const loadedDeg = (wantedDeg + y - slope * x) / (1 - slope)
  // Nobody would over-bend by more than a quarter, nor under-bend, whatever two bends say.
  return Math.min(0.25 * wantedDeg, Math.max(0, loadedDeg - wantedDeg))
}

/** Knows the lot's and die's own curve, and when they change; not the single tube. */
const oracle = (): Rule => ({
  first({ wantedDeg, lotSpringsDeg }) {
    let loadedDeg = wantedDeg
    for (let k = 0; k < 30; k++) loadedDeg = wantedDeg + lotSpringsDeg(loadedDeg)
    return loadedDeg
  },
  again: againByShare,
  saw() {},
})

interface Ours {
  /** False leaves each set-up to itself, as before there was a memory. */
  readonly levels: boolean
  readonly costs: boolean
  /** True: told which bends are disturbed, which nobody is. What finding them could gain at most. */
  readonly told?: boolean
}

/** The product's own. */
function ours({ levels, costs, told = false }: Ours): () => Rule {
  return () => {
    let memory = newShopMemory()
    let id = 0
    const modelAt = ({ place, inLot }: PlannedBend) => {
      if (!levels && inLot === 0) memory = newShopMemory()
      return know(memory, place).model
    }
    return {
      first(bend) {
        const { wantedDeg } = bend
        const model = modelAt(bend)
        const aim = costs
          ? aimUnderCosts(model, {
              wantedDeg,
              toleranceDeg: TOLERANCE_DEG,
              costs: { oneMoreGo: 1, scrap: SCRAP_COST },
              stopSdDeg: 0.1,
            })
          : aimFor(model, wantedDeg)
        return aim.commandedDeg ?? wantedDeg
      },
      again: (bend, go) =>
        secondGoDeg(go, bend.wantedDeg, coefficientsOf(modelAt(bend)).slope) ?? go.peakDeg,
      saw(bend, { peakDeg, springbackDeg }) {
        id++
        if (told && bend.disturbed) return
        const released = { peakDeg, releasedDeg: peakDeg - springbackDeg, verdict: 'in' } as const
        if (!mayTeach(released).learn) return
        teach(memory, { id, place: bend.place, loadedDeg: peakDeg, springbackDeg })
      },
      held(bend, peakDeg, springbackDeg) {
        const { lowDeg, highDeg } = predictSpringback(modelAt(bend), peakDeg)
        return springbackDeg >= lowDeg && springbackDeg <= highDeg
      },
    }
  }
}

export const ORACLE = 'oracle of the lot'
const MIDDLE = 'Overbend, middle'
const TOLD = 'Overbend, told what is disturbed'
export const OURS_AT_THE_MIDDLE = [MIDDLE, TOLD]

export const RULES: Readonly<Record<string, () => Rule>> = {
  'Overbend, two costs': ours({ levels: true, costs: true }),
  [MIDDLE]: ours({ levels: true, costs: false }),
  'Overbend, each lot alone': ours({ levels: false, costs: false }),
  [TOLD]: ours({ levels: true, costs: false, told: true }),
  'least squares per lot': simple(leastSquares),
  'same, 0.3° short': simple(leastSquares, 0.3),
  "last bend's share": simple(lastShare),
  'same share, 0.3° short': simple(lastShare, 0.3),
  "last bend's degrees": simple(lastDeg),
  'fixed per cent': simple(averageShare),
  'fixed degrees': simple(averageDeg),
  [ORACLE]: oracle,
}
