import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { expect } from 'vitest'
import { makeRandom, type Random } from '../../firmware-protocol/bench/random.ts'
import type { Segment } from '../../firmware-protocol/bench/scripted.ts'
import type { OpenBend } from '../../server/history/history.ts'
import { openHistory } from '../../server/history/open.ts'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import type { Job, Setup } from '../../server/messages/setup.ts'
import { type Daemon, type Launched, launchDaemon, startDaemon } from '../support/daemon.ts'
import { type LiveWatch, watchLive } from '../support/live-watch.ts'
import { plugIn } from '../support/tty-board.ts'

const SETUP: Setup = {
  station: 'Bench',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'kill' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}
/** So wide a tolerance that no bend asks for a second go: the second pedal press always accepts. */
const JOB: Job = {
  part: 'Kill',
  piece: 1,
  bendNumber: 1,
  wantedDeg: 30,
  toleranceDeg: 20,
  operator: 'Test',
}

/** A life after it was ready: about two bends. */
const LIFE_S = 6
/** Share of the kills that fall before the daemon is ready, while it takes up what was left. */
const EARLY = 0.15
const UNDER_LOAD: readonly string[] = ['bending', 'held', 'letting-off']

/** Bends of about 3.5 s, quicker than anybody bends, each to an angle of its own. */
function bendAfterBend(random: Random, count: number): Segment[] {
  const press: Segment[] = [{ pedal: 'down' }, { pedal: 'up' }]
  return Array.from({ length: count }, () => [
    { holdS: 0.4 },
    ...press,
    { holdS: 0.3 },
    { moveToDeg: random.between(20, 40), rateDegPerS: 50 },
    { holdS: 0.4 },
    { letOffDeg: random.between(1, 2), tauS: 0.04 },
    { holdS: 1 },
    ...press,
    { holdS: 0.2 },
    { moveToDeg: 0, rateDegPerS: 80 },
  ]).flat()
}

/** What one daemon told its clients before it was killed. */
interface Seen {
  /** Peak of each bend that a client was told is recorded, by its number. */
  readonly peaks: Map<number, number | null>
  /** The first state of this life; null when it was killed before anybody could ask. */
  first: StationState | null
  last: StationState | null
  wasReady: boolean
}

/** What stands on the disk while no daemon runs. */
interface OnDisk {
  readonly bends: readonly Bend[]
  readonly left: OpenBend | null
}

export interface LaneFigures {
  readonly kills: number
  readonly earlyKills: number
  readonly killsInMidBend: number
  readonly acknowledged: number
  readonly records: number
  readonly worstStartS: number
}

/** One data folder and one board, whose daemon is killed again and again at random moments. */
export async function killAgainAndAgain(seed: number, kills: number): Promise<LaneFigures> {
  const random = makeRandom(seed, 'kill')
  const folder = mkdtempSync(join(tmpdir(), 'overbend-kill-'))
  const [dataDir, path] = [join(folder, 'data'), join(folder, 'tty')]
  const args = ['--serial', path, '--data', dataDir]
  const first = await startDaemon(args)
  expect((await first.send('PUT', '/api/station/setup', SETUP)).status).toBe(200)
  expect((await first.send('PUT', '/api/station/job', JOB)).status).toBe(200)
  await first.stop()
  const script = { segments: bendAfterBend(random, 800) }
  const board = await plugIn({ path, script, scriptFile: join(folder, 'script.json'), seed })

  const acknowledged = new Map<number, number | null>()
  const figures = { kills, earlyKills: 0, killsInMidBend: 0, worstStartS: 0 }
  let before: OnDisk = { bends: [], left: null }
  let startS = 1
  for (let kill = 1; kill <= kills; kill++) {
    const fromMs = performance.now()
    const launched = launchDaemon(args)
    const isEarly = random.between(0, 1) < EARLY
    const moment = isEarly ? wait(1000 * random.between(0, startS)) : null
    const seen = await liveUntil(launched, moment, 1000 * random.between(0, LIFE_S), () => {
      startS = (performance.now() - fromMs) / 1000
      figures.worstStartS = Math.max(figures.worstStartS, startS)
    })
    const after = readCopy(dataDir, folder)
    const at = `lane of seed ${seed}, kill ${kill}`
    for (const [id, peakDeg] of seen.peaks) acknowledged.set(id, peakDeg)
    checkAcknowledged(acknowledged, after, at)
    checkTakenUp(before, after, seen, at)
    if (UNDER_LOAD.includes(seen.last?.phase ?? ''))
      expect(after.left !== null || after.bends.length > Math.max(...acknowledged.keys()), at).toBe(
        true,
      )
    if (!seen.wasReady) figures.earlyKills++
    if (after.left !== null) figures.killsInMidBend++
    before = after
  }
  await board.unplug()
  const records = await checkLastStart(args, before)
  rmSync(folder, { recursive: true })
  return { ...figures, acknowledged: acknowledged.size, records }
}

/** Lets one daemon live until its moment has come; what its clients saw is returned. */
async function liveUntil(
  launched: Launched,
  earlyMoment: Promise<void> | null,
  lifeMs: number,
  onReady: () => void,
): Promise<Seen> {
  const seen: Seen = { peaks: new Map(), first: null, last: null, wasReady: false }
  let live = null as LiveWatch | null
  const life = launched.ready.then(async (daemon) => {
    onReady()
    seen.wasReady = true
    // The daemon knows of itself what is wrong, and says so in JSON.
    expect(daemon.errors()).not.toMatch(/^\{/m)
    live = keepSeen(daemon, seen)
    await wait(lifeMs)
    await watchPage(daemon, seen)
  })
  // A daemon that is killed early rejects what it had promised.
  const lived = earlyMoment === null ? life : life.catch(() => undefined)
  await (earlyMoment === null ? lived : Promise.race([earlyMoment, lived]))
  await launched.kill()
  await live?.closed()
  await lived
  return seen
}

function keepSeen(daemon: Daemon, seen: Seen): LiveWatch {
  return watchLive(daemon, (message) => {
    if (message.type === 'samples') return
    const { state } = message
    seen.first ??= state
    seen.last = state
    const { result } = state
    if (result?.bendId != null) seen.peaks.set(result.bendId, result.go.peakDeg)
  })
}

async function watchPage(daemon: Daemon, seen: Seen): Promise<void> {
  const page = await daemon.get<BendPage>('/api/bends?limit=500')
  for (const { id, peakDeg } of page.bends) seen.peaks.set(id, peakDeg)
}

/** Reads a copy: opening the files themselves would mend what the next daemon is to find. */
function readCopy(dataDir: string, folder: string): OnDisk {
  const copy = join(folder, 'copy')
  rmSync(copy, { recursive: true, force: true })
  cpSync(dataDir, copy, { recursive: true })
  const history = openHistory(copy)
  try {
    const { intact, records, why } = history.verify()
    expect({ intact, why }).toEqual({ intact: true, why: null })
    const ids = Array.from({ length: records }, (_, index) => index + 1)
    return { bends: ids.map((id) => history.bend(id) as Bend), left: history.leftOpen() }
  } finally {
    history.close()
  }
}

function checkAcknowledged(
  acknowledged: ReadonlyMap<number, number | null>,
  { bends }: OnDisk,
  at: string,
): void {
  for (const [id, peakDeg] of acknowledged)
    expect({ id, peakDeg: bends[id - 1]?.peakDeg }, at).toEqual({ id, peakDeg })
}

/** What was there is there still, and a bend left open has become one record, and only one. */
function checkTakenUp(before: OnDisk, after: OnDisk, seen: Seen, at: string): void {
  expect(after.bends.slice(0, before.bends.length), at).toEqual(before.bends)
  const added = after.bends.slice(before.bends.length)
  const restarts = added.filter(({ closedBy }) => closedBy === 'restart')
  if (before.left === null) {
    expect(restarts, at).toEqual([])
    return
  }
  if (!seen.wasReady && added.length === 0) {
    expect(after.left, at).toEqual(before.left)
    return
  }
  const { startedAt, job } = before.left
  expect(restarts, at).toEqual([added[0]])
  expect(added[0], at).toMatchObject({ startedAt, job, verdict: 'incomplete', goes: [] })
  // Once zero is taken for the next bend the page has had its notice.
  if (seen.first?.phase !== 'no-datum') return
  const notice = seen.first.notices.find(({ id }) => id === 'left-open')
  expect(notice?.text, at).toContain(`recorded as number ${added[0]?.id}`)
}

/** After the last kill: a daemon that is let live, ends in order, and leaves an intact history. */
async function checkLastStart(args: readonly string[], before: OnDisk): Promise<number> {
  const daemon = await startDaemon(args)
  const state = await daemon.get<StationState>('/api/station')
  const isLeft = before.left !== null
  expect(state.notices.some(({ id }) => id === 'left-open')).toBe(isLeft)
  const { intact, records } = await daemon.get<{ intact: boolean; records: number }>(
    '/api/history/verify',
  )
  expect({ intact, records }).toEqual({
    intact: true,
    records: before.bends.length + (isLeft ? 1 : 0),
  })
  expect(await daemon.stop()).toBe(0)
  return records
}
