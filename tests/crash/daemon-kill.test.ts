import { describe, expect, test } from 'vitest'
import { skipWithout } from '../support/needs.ts'
import { killAgainAndAgain } from './kill-lane.ts'

/**
 * `kill -9` at random moments while bends are made over a pseudo-terminal. The moments come from the seed;
 * `OVERBEND_KILLS` and `OVERBEND_KILL_SEED` choose others.
 */
const EVERYTHING = process.env['OVERBEND_TESTS_SKIP_NOTHING'] === '1'
const KILLS = Number(process.env['OVERBEND_KILLS'] ?? (EVERYTHING ? 200 : 25))
const SEED = Number(process.env['OVERBEND_KILL_SEED'] ?? 1)
/** Data folders, each with its own board, at the same time: a daemon mostly waits. */
const LANES = 4

const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0)

describe.skipIf(skipWithout('socat'))('a daemon that is killed at random moments', () => {
  test(`seed ${SEED}: ${KILLS} kills lose no acknowledged bend, and each start takes up what was left`, {
    timeout: 1_200_000,
  }, async () => {
    const shares = Array.from({ length: LANES }, (_, lane) =>
      Math.floor((KILLS + LANES - 1 - lane) / LANES),
    )
    const lanes = await Promise.all(
      shares.map((kills, lane) => killAgainAndAgain(SEED * LANES + lane, kills)),
    )
    const figures = {
      kills: sum(lanes.map(({ kills }) => kills)),
      beforeReady: sum(lanes.map(({ earlyKills }) => earlyKills)),
      inMidBend: sum(lanes.map(({ killsInMidBend }) => killsInMidBend)),
      acknowledged: sum(lanes.map(({ acknowledged }) => acknowledged)),
      records: sum(lanes.map(({ records }) => records)),
      worstStartS: Math.max(...lanes.map(({ worstStartS }) => worstStartS)),
    }
    process.stderr.write(`${JSON.stringify(figures)}\n`)
    expect(figures.kills).toBe(KILLS)
    // Else the kills were all at moments when there was nothing to lose.
    expect(figures.inMidBend).toBeGreaterThan(0)
    expect(figures.acknowledged).toBeGreaterThan(0)
  })
})
