import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { verifyFolder } from '../../server/history/reader.ts'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { cannotMount } from '../support/needs.ts'

const stateOf = (daemon: Daemon) => daemon.get<StationState>('/api/station')
const hasNotice = ({ notices }: StationState, wanted: string) =>
  notices.some(({ id }) => id === wanted)

const comesTo = (daemon: Daemon, what: string, isRight: (state: StationState) => boolean) =>
  until(() => stateOf(daemon), isRight, { seconds: 90, what })

/** Every bend, the oldest first. */
async function bendsOf(daemon: Daemon): Promise<Bend[]> {
  const { bends } = await daemon.get<BendPage>('/api/bends?limit=500')
  const whole = bends.map(({ id }) => daemon.get<Bend>(`/api/bends/${id}`))
  return (await Promise.all(whole)).toReversed()
}

/** A disk that is mended while the daemon runs, and a daemon that dies where the disk had failed. */
describe.skipIf(cannotMount())('a disk that is mended later', () => {
  let disk: string
  let daemon: Daemon
  const mount = (...options: string[]) => execFileSync('mount', [...options, disk])
  const start = (speed: number) =>
    startDaemon(['--bench', '--bench-speed', `${speed}`, '--data', join(disk, 'data')])
  const isUnderWay = ({ phase, cue }: StationState) => phase === 'bending' && cue === 'bend'

  beforeEach(() => {
    disk = mkdtempSync(join(tmpdir(), 'overbend-late-'))
    mount('-t', 'tmpfs', '-o', 'size=8m', 'overbend')
  })
  afterEach(async () => {
    await daemon.kill()
    execFileSync('umount', [disk])
    rmSync(disk, { recursive: true })
  })

  test('read-only at the start: what a crash left open is recorded once it can be, before all that follows', async () => {
    daemon = await start(4)
    await comesTo(daemon, 'a bend under way', isUnderWay)
    const { job } = await stateOf(daemon)
    await daemon.kill()
    mount('-o', 'remount,ro')
    daemon = await start(10)
    const readOnly = await stateOf(daemon)
    expect(hasNotice(readOnly, 'storage')).toBe(true)
    expect(hasNotice(readOnly, 'left-open')).toBe(false)

    mount('-o', 'remount,rw')
    await comesTo(daemon, 'a disk that is mended', (state) => !hasNotice(state, 'storage'))
    const bends = await until(
      () => bendsOf(daemon),
      ({ length }) => length >= 3,
      { seconds: 90, what: 'bends after it' },
    )
    expect(bends[0]).toMatchObject({ closedBy: 'restart', verdict: 'incomplete', job })
    const restarts = bends.filter(({ closedBy }) => closedBy === 'restart')
    expect(restarts).toHaveLength(1)
    expect(await daemon.stop()).toBe(0)
    expect(verifyFolder(join(disk, 'data')).intact).toBe(true)
  })

  test('full, then freed in mid-bend: killed after that, no bend is missing and the one in hand is incomplete', async () => {
    daemon = await start(2)
    await comesTo(daemon, 'a bend under way', isUnderWay)
    const filler = join(disk, 'filler')
    const { bavail, bsize } = statfsSync(disk)
    writeFileSync(filler, Buffer.alloc(bavail * bsize))
    // The next bend begins while the one before it waits: the disk refuses its mark, too.
    await comesTo(
      daemon,
      'a second bend under way',
      (state) => state.unsaved >= 1 && isUnderWay(state),
    )
    const { unsaved } = await stateOf(daemon)
    rmSync(filler)
    const state = await comesTo(
      daemon,
      'all that waited saved, with a bend open',
      (state) => state.unsaved === 0 && !hasNotice(state, 'storage') && isUnderWay(state),
    )
    const before = await bendsOf(daemon)
    expect(before.length).toBeGreaterThanOrEqual(unsaved)
    await daemon.kill()
    daemon = await start(1)
    const after = await bendsOf(daemon)
    expect(after.slice(0, before.length)).toEqual(before)
    expect(after.slice(before.length)).toMatchObject([
      { closedBy: 'restart', verdict: 'incomplete', job: state.job },
    ])
  })
})
