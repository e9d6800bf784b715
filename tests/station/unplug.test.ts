import { chmodSync, mkdirSync, writeFileSync } from 'node:fs'
import { delimiter, join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { StationState } from '../../server/messages/live.ts'
import { type Daemon, until } from '../support/daemon.ts'
import { watchLive } from '../support/live-watch.ts'
import { skipWithout } from '../support/needs.ts'
import { makeTtyRig } from '../support/tty-rig.ts'

const STOPS_AT_DEG = 15
const TAKEN_TO_DEG = 32
const STOOD_AT_DEG = 30.8
const WITHIN_DEG = 0.05
/** Long enough for a cable to be pulled and put back on a machine that is busy with other tests. */
const REST_S = 20
/** A board under another name is looked for only after a while, and then asked who it is. */
const LONG_REST_S = 40

const PEDAL = [{ pedal: 'down' }, { pedal: 'up' }]
const beginAndRest = (restS: number) => [
  { holdS: 2 },
  ...PEDAL,
  { holdS: 1 },
  { moveToDeg: STOPS_AT_DEG, rateDegPerS: 10 },
  { holdS: restS },
]
const FINISH = [
  { moveToDeg: TAKEN_TO_DEG, rateDegPerS: 8 },
  { holdS: 0.8 },
  { letOffDeg: TAKEN_TO_DEG - STOOD_AT_DEG, tauS: 0.08 },
  { holdS: 3 },
  ...PEDAL,
  { holdS: 3600 },
]
/** A board that is switched on where the die stands. */
const STANDS_THERE = { moveToDeg: STOPS_AT_DEG, rateDegPerS: 1e6 }

const stationOf = (daemon: Daemon) => daemon.get<StationState>('/api/station')

const comesTo = (daemon: Daemon, what: string, isRight: (state: StationState) => boolean) =>
  until(() => stationOf(daemon), isRight, { seconds: 60, what })

const isHeldAtStop = ({ phase, link }: StationState) => phase === 'held' && link.state === 'live'

async function seesTheLoss(daemon: Daemon): Promise<void> {
  const { link } = await comesTo(daemon, 'a lost link', ({ link }) => link.state === 'lost')
  expect(link.reason).toMatch(/has gone|There is no port/)
  expect(link.hint).toMatch(/[Pp]lug/)
}

async function seesDegreesAgain(daemon: Daemon): Promise<StationState> {
  const state = await comesTo(daemon, 'a live link', ({ link }) => link.state === 'live')
  const live = watchLive(daemon)
  await live.more(100)
  live.socket.close()
  return state
}

/** Where the serial library looks for ports: the system's own list, of this folder's pseudo-terminals. */
function withPortList(folder: string): Record<string, string> {
  const programs = join(folder, 'programs')
  const program = join(programs, 'udevadm')
  mkdirSync(programs)
  const entry = `printf 'P: /devices/x\\nN: %s\\nE: DEVNAME=%s\\n\\n' "\${port##*/}" "$port"`
  writeFileSync(program, `#!/bin/sh\nfor port in ${folder}/ttyUSB*; do\n${entry}\ndone\n`)
  chmodSync(program, 0o755)
  return { PATH: `${programs}${delimiter}${process.env['PATH']}` }
}

describe.skipIf(skipWithout('socat')).concurrent('a cable pulled in mid-bend', () => {
  test.for([
    { back: 'the same name', before: 'tty', after: 'tty', restS: REST_S },
    { back: 'another name', before: 'ttyUSB0', after: 'ttyUSB1', restS: LONG_REST_S },
  ])(
    'back under $back: with a board that kept its power the bend goes on',
    async ({ before, after, restS }, context) => {
      const { expect } = context
      const rig = await makeTtyRig(context, { port: before, env: withPortList })
      const { daemon } = rig
      const board = await rig.plug(before, {
        script: { segments: [...beginAndRest(restS), ...FINISH] },
      })
      await comesTo(daemon, 'a bend held half-way', isHeldAtStop)
      await board.cut()
      await seesTheLoss(daemon)
      await board.mend(join(rig.folder, after))
      const { link, phase, notices } = await seesDegreesAgain(daemon)
      expect(link.source).toBe(join(rig.folder, after))
      expect(link.counters.reconnects).toBeGreaterThanOrEqual(1)
      expect(['held', 'bending']).toContain(phase)
      expect(notices).toEqual([])

      const bend = await rig.bend(1)
      expect(bend).toMatchObject({ hits: 1, verdict: 'in', closedBy: 'accepted' })
      expect(Math.abs((bend.peakDeg ?? 0) - TAKEN_TO_DEG)).toBeLessThan(WITHIN_DEG)
      expect(Math.abs((bend.releasedDeg ?? 0) - STOOD_AT_DEG)).toBeLessThan(WITHIN_DEG)
    },
  )

  test('an incremental encoder that lost its power: the bend is closed as incomplete, and the page says so', async (context) => {
    const { expect } = context
    const rig = await makeTtyRig(context, { port: 'tty' })
    const { daemon } = rig
    const board = await rig.plug('tty', { script: { segments: beginAndRest(3600) } })
    await comesTo(daemon, 'a bend held half-way', isHeldAtStop)
    await board.unplug()
    await seesTheLoss(daemon)
    // Its counts begin anew, from wherever it stands.
    await rig.plug('tty', { seed: 2, script: { segments: [STANDS_THERE, { holdS: 3600 }] } })
    await seesDegreesAgain(daemon)

    const bend = await rig.bend(1)
    expect(bend).toMatchObject({
      verdict: 'incomplete',
      closedBy: 'link lost',
      releasedDeg: null,
      learned: 'no',
    })
    const { phase, notices, job } = await stationOf(daemon)
    expect(phase).toBe('no-datum')
    expect(notices.find(({ id }) => id === 'origin')).toMatchObject({
      text: expect.stringContaining('zero is lost'),
      hint: expect.stringContaining('datum'),
    })
    expect(notices.find(({ id }) => id === 'left-open')?.text).toMatch(
      /Bend 1 of Rail, piece 1, is incomplete/,
    )
    // It is made again, under its own number.
    expect(job?.bendNumber).toBe(1)
  })

  test('an absolute encoder that lost its power still knows the angle: the bend goes on', async (context) => {
    const { expect } = context
    const rig = await makeTtyRig(context, { port: 'tty' })
    const { daemon } = rig
    const board = await rig.plug('tty', {
      sensor: 'absolute',
      script: { segments: beginAndRest(3600) },
    })
    await comesTo(daemon, 'a bend held half-way', isHeldAtStop)
    await board.unplug()
    await seesTheLoss(daemon)
    await rig.plug('tty', {
      sensor: 'absolute',
      script: { segments: [STANDS_THERE, { holdS: 3 }, ...FINISH] },
    })
    const { notices } = await seesDegreesAgain(daemon)
    expect(notices).toEqual([])

    const bend = await rig.bend(1)
    expect(bend).toMatchObject({ hits: 1, verdict: 'in', closedBy: 'accepted' })
    expect(Math.abs((bend.peakDeg ?? 0) - TAKEN_TO_DEG)).toBeLessThan(WITHIN_DEG)
    expect(Math.abs((bend.releasedDeg ?? 0) - STOOD_AT_DEG)).toBeLessThan(WITHIN_DEG)
  })
})
