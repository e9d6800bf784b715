import { linearRegression } from 'simple-statistics'
import { bench, describe } from 'vitest'
import { materialOf } from '../../server/bend/materials.ts'
import { bendingMomentNmm } from '../../server/bend/section.ts'
import { type StressStrainLaw, stressMpa } from '../../server/bend/section-law.ts'
import { priorFor } from '../../server/bend/springback.ts'
import { learn, modelFrom } from '../support/springback-alone.ts'

const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const bilinear = materialOf('1020-dom').law
const power = materialOf('316l-annealed').law

/** The obvious way, at the accuracy of the closed form's sixth digit. */
function momentByStrips(law: StressStrainLaw, strips = 20_000): number {
  const outer = tube.odMm / 2
  const inner = outer - tube.wallMm
  const chord = (r: number, y: number) => (y < r ? 2 * Math.sqrt(r * r - y * y) : 0)
  let sum = 0
  for (let k = 0; k < strips; k++) {
    const y = ((k + 0.5) * outer) / strips
    sum += stressMpa(law, y / tube.clrMm) * y * (chord(outer, y) - chord(inner, y))
  }
  return (2 * sum * outer) / strips
}

describe('moment, bilinear: closed form against 20,000 strips', () => {
  bench('closed form', () => void bendingMomentNmm(tube, bilinear))
  bench('strips', () => void momentByStrips(bilinear))
})

describe('moment, power law: quadrature against 20,000 strips', () => {
  bench('quadrature', () => void bendingMomentNmm(tube, power))
  bench('strips', () => void momentByStrips(power))
})

const prior = priorFor(tube, materialOf('316l-annealed'))
const bends = Array.from({ length: 1000 }, (_, k) => ({
  loadedDeg: 30 + (k % 90),
  springbackDeg: 0.6 + 0.027 * (30 + (k % 90)) + 0.1 * Math.sin(k * 12.9898),
}))
const pairs = bends.map(({ loadedDeg, springbackDeg }) => [loadedDeg, springbackDeg])

describe('a set-up of 1000 bends: fold against one least-squares fit', () => {
  bench('modelFrom', () => void modelFrom(prior, bends))
  bench('least squares', () => void linearRegression(pairs))
})

const taught = modelFrom(prior, bends)
const next = { loadedDeg: 92, springbackDeg: 3 }

describe('the next bend after 1000: learn against a refit', () => {
  bench('learn', () => void learn(taught, next))
  bench('refit by least squares', () => void linearRegression([...pairs, [92, 3]]))
})
