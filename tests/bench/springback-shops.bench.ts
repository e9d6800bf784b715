import { bench, describe } from 'vitest'
import { aimFor } from '../../server/bend/aim.ts'
import { MATERIALS, type Material } from '../../server/bend/materials.ts'
import { springbackSlope } from '../../server/bend/section.ts'
import {
  coefficientsOf,
  learn,
  priorFor,
  type SpringbackModel,
} from '../../server/bend/springback.ts'
import { predictSpringback } from '../../server/bend/springback-prediction.ts'

/**
 * How good the aim is: virtual shops whose tubes follow no model of ours exactly. A shop draws a
 * material, a lot (slope off by 15 %, lognormal) and a straight leg, and bends twelve pieces to
 * angles from 30 to 120°. The first go of each is judged. The lots scatter about our own section
 * mechanics, so the first-piece error tells of the learning, not of how good the mechanics is on
 * real tube.
 */
const SEED = 20_250
const SHOPS = 4000
const BENDS = 12
const NOISE_DEG = 0.15
const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }

function random(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
}

let uniform = random(SEED)
const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())

interface Seen {
  readonly loadedDeg: number
  readonly springbackDeg: number
}

/** A way to choose the loaded angle. */
interface Rule {
  readonly name: string
  aim(wantedDeg: number, seen: readonly Seen[], model: SpringbackModel): number
}

const RULES: readonly Rule[] = [
  {
    name: 'overbend',
    aim: (wantedDeg, _seen, model) => aimFor(model, wantedDeg).commandedDeg ?? wantedDeg,
  },
  { name: 'fixed 2.5°', aim: (wantedDeg) => wantedDeg + 2.5 },
  { name: 'fixed 4 %', aim: (wantedDeg) => wantedDeg * 1.04 },
  {
    name: "last bend's springback",
    aim: (wantedDeg, seen) => wantedDeg + (seen.at(-1)?.springbackDeg ?? 2.5),
  },
  { name: 'least squares on all', aim: leastSquares },
]

function leastSquares(wantedDeg: number, seen: readonly Seen[]): number {
  if (seen.length < 2) return wantedDeg + (seen.at(-1)?.springbackDeg ?? 2.5)
  const mean = (of: (bend: Seen) => number) => seen.reduce((s, b) => s + of(b), 0) / seen.length
  const x = mean((b) => b.loadedDeg)
  const y = mean((b) => b.springbackDeg)
  const spread = mean((b) => (b.loadedDeg - x) ** 2)
  const slope = mean((b) => (b.loadedDeg - x) * (b.springbackDeg - y)) / spread
  const loadedDeg = (wantedDeg + y - slope * x) / (1 - slope)
  // Two bends at nearly one angle give any slope at all: nobody would over-bend by more than 15 %.
  return Math.min(1.15 * wantedDeg, Math.max(wantedDeg, loadedDeg))
}

/** The shop's own tube: not the learner's law, but legs that grow over 9° and a slight curve. */
function drawTube(material: Material) {
  const slope = springbackSlope(tube, material.law, material.unloadingFactor)
  const lot = slope * Math.exp(0.15 * normal())
  const legDeg = Math.max(0, 0.5 + 0.35 * normal())
  return (loadedDeg: number) =>
    lot * loadedDeg * (1 + 0.02 * Math.sin(loadedDeg / 40)) +
    legDeg * (1 - Math.exp(-loadedDeg / 9)) +
    NOISE_DEG * normal()
}

function runShops(rule: Rule) {
  // Every rule meets the same shops.
  uniform = random(SEED)
  const errors: number[][] = Array.from({ length: BENDS }, () => [])
  let held = 0
  for (let shop = 0; shop < SHOPS; shop++) {
    const material = MATERIALS[shop % MATERIALS.length]!
    const springs = drawTube(material)
    let model = priorFor(tube, material)
    const seen: Seen[] = []
    for (let k = 0; k < BENDS; k++) {
      const wantedDeg = 30 + 90 * uniform()
      const loadedDeg = rule.aim(wantedDeg, seen, model)
      const springbackDeg = Math.max(0.01, springs(loadedDeg))
      const { lowDeg, highDeg } = predictSpringback(model, loadedDeg)
      if (springbackDeg >= lowDeg && springbackDeg <= highDeg) held++
      errors[k]!.push(loadedDeg - springbackDeg - wantedDeg)
      seen.push({ loadedDeg, springbackDeg })
      model = learn(model, { loadedDeg, springbackDeg })
      if (!Number.isFinite(coefficientsOf(model).slope)) throw new Error('the model broke')
    }
  }
  const rms = (list: readonly number[]) =>
    Math.sqrt(list.reduce((s, e) => s + e * e, 0) / list.length)
  const all = errors.flat()
  const share = (holds: (e: number) => boolean) => (100 * all.filter(holds).length) / all.length
  return {
    rule: rule.name,
    'first °': rms(errors[0]!).toFixed(3),
    'after 1': rms(errors[1]!).toFixed(3),
    'after 3': rms(errors[3]!).toFixed(3),
    'after 10': rms(errors[10]!).toFixed(3),
    'in ±0.5 %': share((e) => Math.abs(e) <= 0.5).toFixed(1),
    'in ±1 %': share((e) => Math.abs(e) <= 1).toFixed(1),
    'over +1 %': share((e) => e > 1).toFixed(2),
    'model’s interval held %': ((100 * held) / all.length).toFixed(1),
  }
}

console.log(`${SHOPS} virtual shops, seed ${SEED}, noise of one bend ${NOISE_DEG}°, rms errors`)
console.table(RULES.map(runShops))

describe('choosing the next angle after three bends', () => {
  const bends = [45, 90, 60].map((loadedDeg) => ({ loadedDeg, springbackDeg: 0.03 * loadedDeg }))
  const material = MATERIALS[0]!
  const model = bends.reduce(learn, priorFor(tube, material))
  bench('overbend', () => void aimFor(model, 75))
  bench('least squares on all', () => void leastSquares(75, bends))
})
