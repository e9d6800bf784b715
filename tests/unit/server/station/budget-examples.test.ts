import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { type Budget, liveBudget } from '../../../../server/bend/uncertainty.ts'
import type { Calibration } from '../../../../server/messages/readout.ts'
import { fitOf, shareOf } from '../../../../server/station/calibration-entry.ts'
import { newCalibration } from '../history/shop.ts'

/** Known angle less readout, in turn, where a readout was taken: what a gauge's and an encoder's errors leave. */
const LEFT_DEG = [0.02, -0.03, 0.01, 0.02, -0.02, 0, 0.03, -0.02, -0.01, 0.02, -0.03, 0.01]

function budgetAt90(countsPerTurn: number, angles: readonly number[], gaugeDeg: number): Budget {
  const points = angles.map((knownDeg, i) => ({
    ...{ knownDeg, readoutDeg: knownDeg - (LEFT_DEG[i] ?? 0) },
    ...{ readoutSdDeg: 0.01, standardDeg: gaugeDeg },
  }))
  const ask = { who: 'N', gauge: { name: 'N', certificate: '' }, toleranceDeg: 0.5, points }
  const fit = fitOf({ ...ask, curve: 'line' }, false)
  const entry: Calibration = { ...newCalibration(), ...fit, id: 1, previousHash: '', hash: '' }
  return liveBudget({ countsPerTurn, calibration: shareOf(entry, 90) })
}

/** A rectangle of ±0.1°, as a workshop protractor has it. */
const PROTRACTOR_DEG = 0.1 / Math.sqrt(3)
const plain = budgetAt90(2400, [0, 90], PROTRACTOR_DEG)
const fine = budgetAt90(
  16_384,
  Array.from({ length: 12 }, (_, i) => 10 * i),
  0.005,
)

const of = (budget: Budget, name: string) =>
  budget.components.find((component) => component.name === name)!.standardDeg.toFixed(4)
const row = (cells: readonly string[]) => `| ${cells.join(' | ')} |`

test('the example budgets in DEVELOPERS.md are what the program says', () => {
  const guide = readFileSync(join(import.meta.dirname, '../../../../DEVELOPERS.md'), 'utf8')
  const lines = [
    ...plain.components.map(({ name }) => row([name, of(plain, name), of(fine, name)])),
    row(['**combined**', plain.standardDeg.toFixed(4), fine.standardDeg.toFixed(4)]),
    row(['k', plain.coverage.toFixed(2), fine.coverage.toFixed(2)]),
    row(['**U, 95 %**', `±${plain.expandedDeg.toFixed(2)}°`, `±${fine.expandedDeg.toFixed(2)}°`]),
  ]
  expect(guide).toContain(lines.join('\n'))
})

test('and are what JCGM 100 says by hand', () => {
  const step = 0.15 / Math.sqrt(12)
  const curve = Math.SQRT2 * Math.hypot(PROTRACTOR_DEG, 0.01)
  const byHand = Math.hypot(step, step, 0.05, curve, PROTRACTOR_DEG, 0.01)
  expect(plain.standardDeg).toBeCloseTo(byHand, 5)
  expect(plain.coverage).toBeCloseTo(2, 6)
})
