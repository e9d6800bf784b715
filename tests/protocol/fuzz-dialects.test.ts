import { describe, expect, test } from 'vitest'
import { DIALECTS } from '../../server/messages/wire.ts'
import { fuzzDialect } from '../support/wire-fuzz.ts'

/** Lines over all dialects together; ten million take some minutes: OVERBEND_FUZZ_LINES=10000000. */
const LINES = Number(process.env['OVERBEND_FUZZ_LINES'] ?? 40_000)
const SEED = Number(process.env['OVERBEND_FUZZ_SEED'] ?? 1)
const SECONDS = 60 + LINES / 5000

describe(`any bytes, through the splitter and the whole chain (seed ${SEED})`, () => {
  test.each(DIALECTS)('%s', { timeout: SECONDS * 1000 }, (dialect) => {
    const lines = Math.ceil(LINES / DIALECTS.length)
    const outcome = fuzzDialect(dialect, lines, SEED)
    if (LINES >= 1e6) process.stdout.write(`${dialect}: ${JSON.stringify(outcome)}\n`)
    expect(outcome.faults).toEqual([])
    expect(outcome.lines).toBeGreaterThanOrEqual(lines)
    // Both sorts were there, or this would show nothing.
    expect(outcome.samples).toBeGreaterThan(0.3 * outcome.lines)
    expect(outcome.refused).toBeGreaterThan(0.05 * outcome.lines)
    expect(outcome.snapshotMaxChars).toBeLessThan(100_000)
  })

  test('the same seed gives the same', () => {
    expect(fuzzDialect('number', 3000, 7)).toEqual(fuzzDialect('number', 3000, 7))
  })
})
