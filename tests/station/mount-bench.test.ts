import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import { overbend, startDaemon, until } from '../support/daemon.ts'

describe('the built-in bench plays a mount', () => {
  test.for([
    ['arm', [], 'arm', 'unknown'],
    ['ratchet-arm', ['--bench-pressure'], 'arm', 'pressure'],
    ['swing-tilt', [], 'swing-tilt', undefined],
    ['arm-tilt', [], 'swing-tilt', 'unknown'],
    ['leg-tilt', [], 'leg-tilt', undefined],
  ] as const)('%s', async ([mount, more, sensorMount, releasedFrom], { onTestFinished }) => {
    const folder = mkdtempSync(join(tmpdir(), 'overbend-mount-'))
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
    const bench = ['--bench', '--bench-speed', '8', '--bench-seed', '4', '--bench-mount', mount]
    const daemon = await startDaemon([...bench, ...more, '--data', folder])
    onTestFinished(async () => void (await daemon.stop()))
    const { bends } = await until(
      () => daemon.get<BendPage>('/api/bends?limit=5'),
      ({ total }) => total >= 2,
      { seconds: 90, what: 'two bends' },
    )
    const bend = await daemon.get<Bend>(`/api/bends/${bends[0]?.id}`)
    expect(bend.setup.sensor.mount).toBe(sensorMount)
    expect(bend.closedBy).toBe('accepted')
    expect(bend.releasedFrom).toBe(releasedFrom)
    expect(bend.releasedDeg === null).toBe(releasedFrom === 'unknown')
    // Wherever the sensor sits, the next bend of the piece comes after this one.
    const { job } = await daemon.get<StationState>('/api/station')
    expect(job?.bendNumber).toBeGreaterThan(bend.job.bendNumber)
  })

  test.each([
    [['--bench-mount', 'roof'], '--bench-mount takes one of die, arm,'],
    [
      ['--bench-mount', 'leg-tilt', '--bench-pressure'],
      '--bench-pressure does not go with --bench-mount leg-tilt.',
    ],
  ])('%j is refused in one sentence', async (args, sentence) => {
    const { code, errors } = await overbend(['serve', '--port', '0', ...args])
    expect(code).toBe(2)
    expect(errors).toContain(sentence)
    expect(errors.trim().split('\n')).toHaveLength(1)
  })
})
