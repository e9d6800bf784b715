import { aimUnderCosts } from '../../server/bend/cost-aim.ts'
import { know, teach } from '../../server/bend/shop-memory.ts'
import { newShopMemory } from '../../server/bend/shop-nodes.ts'
import { busyness, quantile } from './figures.ts'
import {
  ORACLE,
  OURS_AT_THE_MIDDLE,
  RULES,
  type Rule,
  TOLERANCE_DEG,
} from './springback-shops-rules.ts'
import { GOES_MAX, LOT_BENDS, type PlannedBend, planShop } from './springback-shops-world.ts'

// How good the aim is, over virtual shops: `npm run bench -- shops`; OVERBEND_BENCH_SHOPS and
// OVERBEND_BENCH_SEED say how many and from which seed. Seeds below 1,000,000 were used while this was developed, and those from
// 7,000,000 and 9,000,000 have been looked at since; those reported start at REPORTED_SEED and nothing was tuned on them.

const REPORTED_SEED = 11_000_000
const shops = Number(process.env['OVERBEND_BENCH_SHOPS'] ?? 2000)
const firstSeed = Number(process.env['OVERBEND_BENCH_SEED'] ?? REPORTED_SEED)

/** Sums of one shop; a quotient of two is one figure. */
type Sums = Record<string, number>

const add = (sums: Sums, key: string, value: number) => {
  sums[key] = (sums[key] ?? 0) + value
}

/** One tube, from its first go until it is in, over, or has been gone at three times. */
function bendOne(rule: Rule, bend: PlannedBend, sums: Sums): void {
  const { wantedDeg, stopDeg, readoutDeg, inLot } = bend
  let markDeg = rule.first(bend)
  for (let go = 0; ; go++) {
    const peakDeg = Math.max(1, markDeg + (stopDeg[go] ?? 0))
    const releasedDeg = peakDeg - bend.springsDeg(peakDeg)
    const shownDeg = releasedDeg + (readoutDeg[go] ?? 0)
    const errorDeg = releasedDeg - wantedDeg
    if (go === 0) countFirst(rule, bend, sums, { peakDeg, shownDeg, errorDeg })
    const under = shownDeg < wantedDeg - TOLERANCE_DEG
    if (under && go + 1 < GOES_MAX) {
      markDeg = rule.again(bend, { peakDeg, releasedDeg: shownDeg })
      continue
    }
    add(sums, 'scrap', errorDeg > TOLERANCE_DEG ? 1 : 0)
    if (inLot === 0) add(sums, 'first scrap', errorDeg > TOLERANCE_DEG ? 1 : 0)
    add(sums, 'goes', go)
    rule.saw(bend, { peakDeg, springbackDeg: Math.max(0.02, peakDeg - shownDeg) })
    return
  }
}

interface FirstGo {
  readonly peakDeg: number
  readonly shownDeg: number
  readonly errorDeg: number
}

function countFirst(rule: Rule, bend: PlannedBend, sums: Sums, go: FirstGo): void {
  const { peakDeg, shownDeg, errorDeg } = go
  add(sums, 'bends', 1)
  add(sums, 'in half', Math.abs(errorDeg) <= 0.5 ? 1 : 0)
  add(sums, 'in one', Math.abs(errorDeg) <= 1 ? 1 : 0)
  if (!bend.disturbed) {
    add(sums, `n ${bend.inLot}`, 1)
    add(sums, `error ${bend.inLot}`, errorDeg ** 2)
    if (!bend.disturbedBefore) {
      add(sums, `n clean ${bend.inLot}`, 1)
      add(sums, `error clean ${bend.inLot}`, errorDeg ** 2)
    }
  }
  if (!rule.held) return
  const held = rule.held(bend, peakDeg, peakDeg - shownDeg) ? 1 : 0
  add(sums, 'held', held)
  if (bend.disturbed) return
  add(sums, 'undisturbed', 1)
  add(sums, 'held undisturbed', held)
  add(sums, `held ${bend.inLot}`, held)
}

/** A quotient of sums over shops, with the half-width of its 95 % interval: shops are independent. */
function quotient(all: readonly Sums[], over: string, under: string) {
  const total = (key: string) => all.reduce((sum, shop) => sum + (shop[key] ?? 0), 0)
  const value = total(over) / total(under)
  const off = all.map((shop) => (shop[over] ?? 0) - value * (shop[under] ?? 0))
  const half = (1.96 * Math.sqrt(off.reduce((sum, e) => sum + e * e, 0))) / total(under)
  return { value, half }
}

const percent = (all: readonly Sums[], over: string, under = 'bends') => {
  const { value, half } = quotient(all, over, under)
  return Number.isNaN(value) ? '' : `${(100 * value).toFixed(2)} ±${(100 * half).toFixed(2)}`
}

const rms = (all: readonly Sums[], bend: number | string) => {
  const { value, half } = quotient(all, `error ${bend}`, `n ${bend}`)
  return `${Math.sqrt(value).toFixed(3)} ±${(half / (2 * Math.sqrt(value))).toFixed(3)}`
}

const plans = Array.from({ length: shops }, (_, k) => planShop(firstSeed + k))
console.log(
  `${shops} shops from seed ${firstSeed}, ${plans[0]?.length} bends each in lots of ${LOT_BENDS}, ` +
    `tolerance ±${TOLERANCE_DEG}°; ± is half a 95 % interval over shops; ${busyness()}`,
)
const tables = Object.entries(RULES).map(([name, make]) => {
  const all = plans.map((plan) => {
    const [rule, sums] = [make(), {} as Sums]
    for (const bend of plan) bendOne(rule, bend, sums)
    return sums
  })
  return { name, all }
})
console.table(
  tables.map(({ name, all }) => ({
    rule: name,
    'first °': rms(all, 0),
    'after 1': rms(all, 1),
    'after 3': rms(all, 3),
    'after 3 clean': rms(all, 'clean 3'),
    'after 10': rms(all, 10),
    'in ±0.5 %': percent(all, 'in half'),
    'in ±1 %': percent(all, 'in one'),
    'scrap %': percent(all, 'scrap'),
    'more goes, % of bends': percent(all, 'goes'),
  })),
)
const lotNoise = (bend: string) => {
  const square = (name: string) => {
    const all = tables.find((table) => table.name === name)?.all ?? []
    return quotient(all, `error ${bend}`, `n ${bend}`).value
  }
  const times = (name: string) => Math.sqrt(square(name) / square(ORACLE)).toFixed(2)
  return OURS_AT_THE_MIDDLE.map((name) => `${name} ${times(name)}`).join(', ')
}
console.log(
  `After three bends, times the oracle's error: ${lotNoise('3')}; clean: ${lotNoise('clean 3')}.`,
)
console.log(
  'Errors: rms over undisturbed bends, first go; "clean": no bend of the lot before was disturbed. ' +
    'The 95 % interval held:',
)
console.table(
  tables.flatMap(({ name, all }) =>
    (all[0]?.['held'] ?? 0) > 0
      ? [
          {
            rule: name,
            'all bends %': percent(all, 'held'),
            'undisturbed %': percent(all, 'held undisturbed', 'undisturbed'),
            'first of lot %': percent(all, 'held 0', 'n 0'),
            'after 3 %': percent(all, 'held 3', 'n 3'),
          },
        ]
      : [],
  ),
)

const BENDS = 100_000
/** One shop after the other makes a long history of many lots. */
function* longHistory(): Generator<PlannedBend> {
  for (let k = 0; ; k++)
    for (const bend of plans[k % plans.length] ?? [])
      yield { ...bend, place: { ...bend.place, lot: `${bend.place.lot} of ${k}` } }
}

function speed() {
  const memory = newShopMemory()
  const eachMs: number[] = []
  const start = process.cpuUsage()
  let id = 0
  for (const { place, wantedDeg, springsDeg } of longHistory()) {
    id++
    const loadedDeg = wantedDeg * 1.03
    const bendMs = performance.now()
    teach(memory, { id, place, loadedDeg, springbackDeg: springsDeg(loadedDeg) })
    if (id % 100 === 0) {
      const { model, lotBends } = know(memory, place)
      const costs = { oneMoreGo: 1, scrap: 10 }
      aimUnderCosts(model, { wantedDeg, toleranceDeg: TOLERANCE_DEG, costs, lotBends })
      eachMs.push(performance.now() - bendMs)
    }
    if (id === BENDS) break
  }
  const { user, system } = process.cpuUsage(start)
  return { cpuS: (user + system) / 1e6, eachMs, lots: memory.lots.size }
}

const { cpuS, eachMs, lots } = speed()
console.log(
  `Memory of ${BENDS} bends, ${lots} lots: rebuilt in ${cpuS.toFixed(1)} s of processor time; one more bend with its ` +
    `aim takes ${quantile(eachMs, 0.5).toFixed(3)} ms, in 99 of 100 cases under ` +
    `${quantile(eachMs, 0.99).toFixed(3)} ms; ${busyness()}`,
)
