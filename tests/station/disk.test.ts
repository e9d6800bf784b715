import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, statfsSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { verifyFolder } from '../../server/history/reader.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import { type Daemon, startDaemon, until } from '../support/daemon.ts'
import { watchLive } from '../support/live-watch.ts'
import { cannotMount } from '../support/needs.ts'

const stateOf = (daemon: Daemon) => daemon.get<StationState>('/api/station')
const bendsOf = (daemon: Daemon) => daemon.get<BendPage>('/api/bends?limit=500')
const storageNotice = ({ notices }: StationState) => notices.find(({ id }) => id === 'storage')

async function goesOn(daemon: Daemon): Promise<void> {
  const live = watchLive(daemon)
  await live.more(200)
  expect(live.state()?.link.state).toBe('live')
  live.socket.close()
}

describe.skipIf(cannotMount())('a daemon on a disk that fails', () => {
  let disk: string
  let daemon: Daemon | undefined
  const mount = (...options: string[]) => execFileSync('mount', [...options, disk])
  const start = () => startDaemon(['--bench', '--bench-speed', '10', '--data', join(disk, 'data')])

  beforeEach(() => {
    disk = mkdtempSync(join(tmpdir(), 'overbend-disk-'))
    mount('-t', 'tmpfs', '-o', 'size=8m', 'overbend')
  })
  afterEach(async () => {
    await daemon?.stop()
    execFileSync('umount', [disk])
    rmSync(disk, { recursive: true })
  })

  test('full: it says so, bends wait in memory, and follow in order once there is room', async () => {
    daemon = await start()
    const running = daemon
    await until(
      () => bendsOf(running),
      ({ total }) => total >= 1,
      { seconds: 90, what: 'a first bend' },
    )
    const filler = join(disk, 'filler')
    const { bavail, bsize } = statfsSync(disk)
    writeFileSync(filler, Buffer.alloc(bavail * bsize))
    const full = await until(
      () => stateOf(running),
      ({ unsaved }) => unsaved >= 2,
      { seconds: 90, what: 'two bends that wait' },
    )
    const before = (await bendsOf(running)).total
    expect(storageNotice(full)).toMatchObject({ kind: 'fault' })
    expect(storageNotice(full)?.text).toMatch(/disk is full.*wait in memory/)
    await goesOn(running)

    rmSync(filler)
    const after = await until(
      () => stateOf(running),
      (state) => state.unsaved === 0 && storageNotice(state) === undefined,
      { seconds: 90, what: 'all bends saved' },
    )
    expect(after.link.state).toBe('live')
    const { bends } = await bendsOf(running)
    expect(bends.length).toBeGreaterThanOrEqual(before + 2)
    const times = bends.map(({ startedAt }) => Date.parse(startedAt))
    expect(times).toEqual(times.toSorted((a, b) => b - a))
    await running.stop()
    expect(verifyFolder(join(disk, 'data'))).toMatchObject({ intact: true, firstBroken: null })
  })

  test('read-only: it starts, says so, and the live angle goes on; what is there is untouched', async () => {
    daemon = await start()
    await daemon.stop()
    const { head } = verifyFolder(join(disk, 'data'))
    mount('-o', 'remount,ro')
    daemon = await start()
    const state = await stateOf(daemon)
    expect(storageNotice(state)?.text).toMatch(/cannot be written/)
    await goesOn(daemon)
    expect((await daemon.get<{ storage: string | null }>('/api/health')).storage).not.toBeNull()
    await daemon.stop()
    mount('-o', 'remount,rw')
    expect(verifyFolder(join(disk, 'data')).head).toBe(head)
  })

  test('a damaged file: it starts, says so, goes on, and leaves the file as it is', async () => {
    daemon = await start()
    await daemon.stop()
    const file = join(disk, 'data', 'overbend.sqlite')
    const damaged = readFileSync(file)
    damaged.fill(0x5a, 100, damaged.length)
    writeFileSync(file, damaged)
    daemon = await start()
    expect(storageNotice(await stateOf(daemon))?.text).toMatch(/damaged/)
    await goesOn(daemon)
    await daemon.stop()
    expect(readFileSync(file).equals(damaged)).toBe(true)
  })
})
