import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, describe, expect, test } from 'vitest'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import type { Setup } from '../../server/messages/setup.ts'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { plugIn, type TtyBoard } from '../support/tty-board.ts'

/**
 * Common practice, no source, from a practitioner's account: mild-steel tube of 1 in OD on a die of 4 in
 * centreline radius, 30° wanted, taken to 32°, stood at 30.8° after letting off. 0.8° off passes in general
 * fabrication. Replayed here on a real tty, through the native protocol and the real daemon.
 */
const WANTED_DEG = 30
const TAKEN_TO_DEG = 32
const STOOD_AT_DEG = 30.8
const SPRINGBACK_DEG = TAKEN_TO_DEG - STOOD_AT_DEG
const WITHIN_DEG = 0.05

const SETUP: Setup = {
  station: 'Bench',
  die: { name: '4 in CLR', odMm: 25.4, clrMm: 101.6 },
  // The wall is not told; it hardly matters to springback (springback power of the wall about 0.05).
  tube: { odMm: 25.4, wallMm: 2.11, material: '1020-erw', lot: 'practice' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}

const BEND = [
  { holdS: 3 },
  { pedal: 'down' },
  { pedal: 'up' },
  { holdS: 1 },
  { moveToDeg: TAKEN_TO_DEG - 3, rateDegPerS: 8 },
  { moveToDeg: TAKEN_TO_DEG, rateDegPerS: 3 },
  { holdS: 0.8 },
  { letOffDeg: SPRINGBACK_DEG, tauS: 0.08 },
  { holdS: 2.5 },
  { pedal: 'down' },
  { pedal: 'up' },
  { holdS: 3600 },
]

describe.skipIf(skipWithout('socat'))('a bend of common practice on a real tty', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-practice-'))
  let daemon: Daemon | undefined
  let board: TtyBoard | undefined
  afterEach(async () => {
    await daemon?.stop()
    await board?.unplug()
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  test.each([
    { toleranceDeg: 1, verdict: 'in' },
    { toleranceDeg: 0.5, verdict: 'over' },
  ])('within ±$toleranceDeg° it is "$verdict"', async ({ toleranceDeg, verdict }) => {
    const name = `at-${toleranceDeg}`
    const path = join(folder, `tty-${name}`)
    board = await plugIn({
      path,
      script: { segments: BEND },
      scriptFile: join(folder, `${name}.json`),
    })
    daemon = await startDaemon(['--serial', path, '--data', join(folder, name)])
    const { get, send } = daemon
    expect((await send('PUT', '/api/station/setup', SETUP)).status).toBe(200)
    const job = { part: 'Practice', piece: 1, bendNumber: 1, operator: 'Test' }
    await send('PUT', '/api/station/job', { ...job, wantedDeg: WANTED_DEG, toleranceDeg })
    const before = await get<StationState>('/api/station')
    const page = await until(
      () => get<BendPage>('/api/bends?limit=5'),
      ({ total }) => total === 1,
      { seconds: 60, what: 'a recorded bend' },
    )
    const bend = await get<Bend>(`/api/bends/${page.bends[0]?.id}`)

    expect(Math.abs((bend.peakDeg ?? 0) - TAKEN_TO_DEG)).toBeLessThan(WITHIN_DEG)
    expect(Math.abs((bend.releasedDeg ?? 0) - STOOD_AT_DEG)).toBeLessThan(WITHIN_DEG)
    expect(Math.abs((bend.springbackDeg ?? 0) - SPRINGBACK_DEG)).toBeLessThan(WITHIN_DEG)
    expect(bend).toMatchObject({
      verdict,
      hits: 1,
      closedBy: 'accepted',
      learned: 'yes',
      simulated: true,
    })
    expect(bend.prediction?.bendsLearned).toBe(0)

    // What is expected next lies between what the prior said and what this one bend alone would say. Where to
    // stop is another thing: short of it on purpose, while little is known.
    const after = await get<StationState>('/api/station')
    const [prior, next] = [before.aim?.springbackDeg ?? 0, after.aim?.springbackDeg ?? 0]
    const alone = bend.springbackDeg ?? 0
    expect(next).toBeGreaterThan(Math.min(prior, alone))
    expect(next).toBeLessThan(Math.max(prior, alone))
    expect(after.aim?.commandedDeg).toBeLessThan(WANTED_DEG + next + 1e-5)
    expect(after.aim?.bendsLearned).toBe(1)
  })
})
