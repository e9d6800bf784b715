import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import { startDaemon, until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { makeTtyRig } from '../support/tty-rig.ts'

const PEDAL = [{ pedal: 'down' }, { pedal: 'up' }]
const BEND = [
  { holdS: 2 },
  ...PEDAL,
  { holdS: 1 },
  { moveToDeg: 32, rateDegPerS: 12 },
  { holdS: 0.8 },
  { letOffDeg: 1.2, tauS: 0.08 },
  { holdS: 2.5 },
  ...PEDAL,
  { holdS: 3600 },
]
/** Other times, to the microsecond, and another state of the filters before: not bit for bit. */
const WITHIN_DEG = 0.02

describe.skipIf(skipWithout('socat'))('a bend’s raw lines, taken from the history', () => {
  test('make the same bend again when they are played to another daemon', async (context) => {
    const { onTestFinished } = context
    const rig = await makeTtyRig(context, { port: 'tty' })
    await rig.plug('tty', { script: { segments: BEND } })
    const bend = await rig.bend(1)
    const { setup, job } = await rig.daemon.get<StationState>('/api/station')
    const raw = await fetch(`${rig.daemon.url}/api/bends/${bend.id}/raw`)
    const file = join(rig.folder, 'raw.txt')
    writeFileSync(file, await raw.text())

    // The set-up and the job are told to a first one: a file does not wait for them.
    const data = ['--data', join(rig.folder, 'other')]
    const before = await startDaemon(['--serial', join(rig.folder, 'none'), ...data])
    await before.send('PUT', '/api/station/setup', setup?.setup)
    await before.send('PUT', '/api/station/job', { ...job, bendNumber: 1 })
    expect(await before.stop()).toBe(0)
    const daemon = await startDaemon(['--replay', file, ...data])
    onTestFinished(async () => void (await daemon.stop()))
    const { bends } = await until(
      () => daemon.get<BendPage>('/api/bends?limit=5'),
      ({ total }) => total >= 1,
      { seconds: 60, what: 'the bend again' },
    )
    const again = await daemon.get<Bend>(`/api/bends/${bends[0]?.id}`)
    expect(again).toMatchObject({ hits: 1, verdict: bend.verdict, closedBy: bend.closedBy })
    expect(Math.abs((again.peakDeg ?? 0) - (bend.peakDeg ?? 99))).toBeLessThan(WITHIN_DEG)
    expect(Math.abs((again.releasedDeg ?? 0) - (bend.releasedDeg ?? 99))).toBeLessThan(WITHIN_DEG)
    const state = await until(
      () => daemon.get<StationState>('/api/station'),
      ({ link }) => link.state === 'closed',
      { seconds: 60, what: 'the end of the file' },
    )
    expect(state.link.reason).toMatch(/The file has ended after \d+ lines\./)
  })
})
