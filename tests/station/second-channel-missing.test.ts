import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { Notice, StationState } from '../../server/messages/live.ts'
import { until } from '../support/daemon.ts'
import { makeDie, makeFolder, plugInSensor, startOn } from '../support/dialect-rig.ts'
import { makeMountRig, PRESSURE, SENSOR } from '../support/mount-rig.ts'
import { skipWithout } from '../support/needs.ts'

/** Waits until a notice stands, or stands no more. */
const whenNotice = async (state: () => Promise<StationState>, id: string, stands: boolean) => {
  const found = ({ notices }: StationState) => notices.find((notice) => notice.id === id)
  const now = await until(state, (seen) => (found(seen) !== undefined) === stands, {
    seconds: 40,
    what: `${id} ${stands ? 'told' : 'gone'}`,
  })
  return found(now) as Notice
}

describe.skipIf(skipWithout('socat'))('a second channel that does not come over a real tty', () => {
  test('in its columns is told of by its place, and no more once it comes', async (context) => {
    const folder = makeFolder(context)
    const path = join(folder, 'tty')
    let more = ''
    const line = (deg: number) => `${deg.toFixed(2)}${more}`
    await plugInSensor(context, path, makeDie(12), { rateHz: 50, burstMs: 10, line })
    const args = ['--serial', path, '--dialect', 'number', '--separator', 'comma']
    const columns = ['--column', '1', '--pressure-column', '2', '--switch-column', '3']
    const rig = await startOn(context, folder, [...args, ...columns], SENSOR)

    const pressure = await whenNotice(rig.state, 'no-pressure', true)
    expect(pressure.text).toBe('Readings come, but no pressure in column 2.')
    const closed = await whenNotice(rig.state, 'no-switch', true)
    expect(closed.text).toBe('Readings come, but nothing of the switch in column 3.')
    expect((await rig.state()).link.state).toBe('live')

    more = ',0.4'
    await whenNotice(rig.state, 'no-pressure', false)
    expect((await rig.state()).notices.map(({ id }) => id)).toContain('no-switch')
    more = ',0.4,1'
    await whenNotice(rig.state, 'no-switch', false)
    expect((await rig.state()).notices).toEqual([])
  })

  test('of a board is told of, until the set-up says that there is none', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { second: PRESSURE },
      mount: 'die',
      pressure: false,
      stopDeg: 18,
    })
    const state = () => rig.daemon.get<StationState>('/api/station')
    const { text, hint } = await whenNotice(state, 'no-pressure', true)
    expect(text).toBe("Readings come, but no pressure on the board's second channel.")
    expect(hint).toMatch(/see that the board sends a second channel/)
    const setup = (await state()).setup?.setup
    const changed = await until(
      () => rig.daemon.send('PUT', '/api/station/setup', { ...setup, sensor: SENSOR }),
      ({ status }) => status === 200,
      { seconds: 60, what: 'a moment between bends' },
    )
    expect(changed.status).toBe(200)
    await whenNotice(state, 'no-pressure', false)
  })
})
