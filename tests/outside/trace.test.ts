import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { tracedFile } from '../support/run-trace.ts'

/** Synthetic, computed outside the project; the values it was made from are in the file beside it. */
const CSV = join(import.meta.dirname, 'data/trace-die-50hz.csv')
const MADE_FROM = JSON.parse(readFileSync(CSV.replace('.csv', '.json'), 'utf8'))

describe('trace-die-50hz.csv: 12 °/s to 93.0°, held 0.8 s, 2.9° let off with 0.08 s', () => {
  it.each(['auto', '0'])('with --datum %s: peak and released within 0.05°', async (datum) => {
    const { cycles } = await tracedFile(CSV, '--datum', datum)
    expect(cycles).toHaveLength(1)
    const [cycle] = cycles
    expect(Math.abs(cycle!.datumDeg)).toBeLessThan(0.02)
    expect(Math.abs(cycle!.peakDeg - MADE_FROM.peakDeg)).toBeLessThan(MADE_FROM.tolerance)
    expect(Math.abs(cycle!.releasedDeg! - MADE_FROM.releasedDeg)).toBeLessThan(MADE_FROM.tolerance)
    expect(cycle!.strokes).toBe(1)
  })

  it('both lie within 0.02° of the means of the two plateaus as they were found outside', async () => {
    const { cycles } = await tracedFile(CSV)
    const [heldDeg, releasedDeg] = MADE_FROM.plateauMeansDeg
    expect(Math.abs(cycles[0]!.peakDeg - heldDeg)).toBeLessThan(0.02)
    expect(Math.abs(cycles[0]!.releasedDeg! - releasedDeg)).toBeLessThan(0.02)
  })

  it('the standard error is of the size of that found outside: 0.0057° for the difference', async () => {
    const { cycles } = await tracedFile(CSV)
    expect(cycles[0]!.releasedSeDeg!).toBeGreaterThan(0.001)
    expect(cycles[0]!.releasedSeDeg!).toBeLessThan(0.012)
  })

  it('the plateau begins when 2.9° have fallen to less than the noise: about 9.4 s', async () => {
    // Let off at 9.05 s; after five to six time constants of 0.08 s less than 0.02° is left.
    const { cycles } = await tracedFile(CSV)
    expect(cycles[0]!.releasedAtS!).toBeGreaterThan(9.25)
    expect(cycles[0]!.releasedAtS!).toBeLessThan(9.7)
    expect(Math.abs(cycles[0]!.peakAtS - 8.25)).toBeLessThan(0.05)
  })
})
