import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { StationState } from '../../server/messages/live.ts'
import type { Probed, RecentLine, Wire } from '../../server/messages/wire.ts'
import { until } from '../support/daemon.ts'
import { startHere } from '../support/daemon-here.ts'
import { xdrLine } from '../support/dialect-lines.ts'
import { makeDie, makeFolder, plugInSensor, startOn } from '../support/dialect-rig.ts'
import { startModbusSensor } from '../support/modbus-sensor.ts'
import { skipWithout } from '../support/needs.ts'
import { makePtyPair } from '../support/pty-pair.ts'

const DIE = { mount: 'die', countsPerTurn: 0, direction: 'forward' } as const
const NUMBER = { kind: 'serial', baud: 115_200, dialect: 'number', options: {} } as const

describe.skipIf(skipWithout('socat'))('the wire', () => {
  test('is chosen on the page, remembered over a restart, and given back to the bench', async (context) => {
    const folder = makeFolder(context)
    const data = ['--data', join(folder, 'data')]
    const path = join(folder, 'tty')
    const speaker = { rateHz: 50, burstMs: 10, line: (deg: number) => deg.toFixed(2) }
    await plugInSensor(context, path, makeDie(12), speaker)
    const first = await startHere(['--bench', ...data])
    expect(await first.get<Wire>('/api/wire')).toEqual({ kind: 'bench' })

    // The demo bends by itself: between two bends the wire is free.
    const chosen = await until(
      () => first.send('PUT', '/api/wire', { ...NUMBER, path }),
      ({ status }) => status === 200,
      { seconds: 60, what: 'a moment between bends' },
    )
    expect(chosen.body).toEqual({ done: true })
    const live = await until(
      () => first.get<StationState>('/api/station'),
      ({ link }) => link.source === path && link.state === 'live',
      { seconds: 20, what: 'readings of the sensor' },
    )
    expect(live).toMatchObject({ simulated: false, bench: null, link: { device: null } })
    await until(
      () => first.get<RecentLine[]>('/api/wire/lines'),
      (lines) => lines.length === 50 && lines.every(({ ok, text }) => ok && Number(text) > 11),
      { seconds: 20, what: 'fifty lines' },
    )
    expect(await first.stop()).toBe(0)

    const second = await startHere(data)
    expect(await second.get<Wire>('/api/wire')).toEqual({ ...NUMBER, path })
    await until(
      () => second.get<StationState>('/api/station'),
      ({ link }) => link.source === path && link.state === 'live',
      { seconds: 20, what: 'readings again' },
    )
    expect((await second.send('PUT', '/api/wire', { kind: 'bench' })).status).toBe(200)
    const bench = await until(
      () => second.get<StationState>('/api/station'),
      ({ link }) => link.state === 'live' && link.device !== null,
      { seconds: 20, what: 'the bench' },
    )
    expect(bench).toMatchObject({ simulated: true, bench: { mode: 'self' } })
    await second.stop()

    const named = await startHere(['--serial', path, '--dialect', 'nmea-xdr', ...data])
    expect(await named.get<Wire>('/api/wire')).toMatchObject({ dialect: 'nmea-xdr', path })
  })

  test('cannot change in mid-bend, and what cannot be is refused, with nothing applied', async (context) => {
    const folder = makeFolder(context)
    const path = join(folder, 'tty')
    const die = makeDie(0)
    const speaker = { rateHz: 50, burstMs: 10, line: (deg: number) => deg.toFixed(2) }
    await plugInSensor(context, path, die, speaker)
    const rig = await startOn(context, folder, ['--serial', path, '--dialect', 'number'], DIE)
    const { daemon } = rig
    const refused = async (wire: object) => {
      const { status, body } = await daemon.send('PUT', '/api/wire', wire)
      return { status, ...(body as { sentence: string; field?: string }) }
    }
    const modbus = { unitId: 1, function: 'input', register: 0, registersAs: 'int16', scale: 0 }
    expect(await refused({ kind: 'modbus', path, baud: 9600, options: modbus })).toMatchObject({
      status: 400,
      field: 'options.scale',
      sentence: 'options.scale must not be 0: every angle would be 0.',
    })
    expect(await refused({ kind: 'pigeon' })).toMatchObject({ status: 400, field: 'kind' })
    expect(await daemon.get<Wire>('/api/wire')).toMatchObject({ dialect: 'number', path })

    await until(rig.state, ({ link }) => link.state === 'live', { seconds: 20, what: 'readings' })
    await daemon.send('POST', '/api/station/act', { act: 'datum' })
    die.play([{ moveToDeg: 20, rateDegPerS: 10 }, { holdS: 600 }])
    await until(rig.state, ({ phase }) => phase === 'held', { seconds: 20, what: 'a held tube' })
    expect(await refused({ kind: 'bench' })).toMatchObject({
      status: 409,
      sentence: 'The wire cannot change in mid-bend: accept or abandon it first.',
    })
    expect((await rig.state()).link.state).toBe('live')
  })
})

describe.skipIf(skipWithout('socat', 'pymodbus'))('listening at a port', () => {
  const probe = async (daemon: Awaited<ReturnType<typeof startHere>>, path: string) => {
    const { status, body } = await daemon.send('POST', '/api/wire/probe', { path })
    return { status, body: body as Probed & { sentence: string } }
  }

  test('finds transducers, numbers and a Modbus sensor, each with the wire that reads it', async (context) => {
    const folder = makeFolder(context)
    const daemon = await startHere(['--bench', '--data', join(folder, 'data')])
    const at = (name: string) => join(folder, name)
    const die = makeDie(40)
    const xdr = (deg: number) => xdrLine(`A,${deg.toFixed(2)},D,BEND`)
    await plugInSensor(context, at('xdr'), die, { rateHz: 20, burstMs: 10, line: xdr })
    let nth = 0
    const column = (deg: number) => `${nth++},${deg.toFixed(2)}`
    await plugInSensor(context, at('number'), die, { rateHz: 20, burstMs: 10, line: column })
    const pair = await makePtyPair(folder, 'bus')
    context.onTestFinished(() => pair.unplug())
    const sensor = await startModbusSensor(`${pair.path}-far-end`, 2)
    context.onTestFinished(() => sensor.close())

    const heardXdr = await probe(daemon, at('xdr'))
    expect(heardXdr.body.wire).toMatchObject({ dialect: 'nmea-xdr', path: at('xdr') })
    expect(heardXdr.body.sure).toBeGreaterThan(0.95)
    expect(heardXdr.body.sentence).toMatch(/^At 115200 baud: \d+ of \d+ lines are NMEA 0183/)

    const heardNumber = await probe(daemon, at('number'))
    expect(heardNumber.body.wire).toMatchObject({
      dialect: 'number',
      options: { separator: 'comma', column: 2 },
    })
    expect(heardNumber.body.sure).toBeGreaterThan(0.8)
    expect(heardNumber.body.sure).toBeLessThanOrEqual(0.9)

    const heardModbus = await probe(daemon, pair.path)
    expect(heardModbus.body.wire).toMatchObject({ kind: 'modbus', options: { unitId: 2 } })
    expect(heardModbus.body).toMatchObject({
      sure: 0.9,
      sentence: 'At 9600 baud: A Modbus sensor answers as unit 2.',
    })

    const nowhere = await probe(daemon, at('nowhere'))
    expect(nowhere.status).toBe(400)
    expect(nowhere.body.sentence).toContain(`There is no port ${at('nowhere')}.`)
  })

  test('that is the wire itself takes it for some seconds, and gives it back', async (context) => {
    const folder = makeFolder(context)
    const path = join(folder, 'tty')
    const speaker = { rateHz: 50, burstMs: 10, line: (deg: number) => deg.toFixed(2) }
    await plugInSensor(context, path, makeDie(0), speaker)
    // The wrong dialect: this is what one listens for.
    const rig = await startOn(context, folder, ['--serial', path, '--dialect', 'nmea-xdr'], DIE)
    await until(rig.state, ({ link }) => link.state === 'garbled', {
      seconds: 30,
      what: 'a wire that makes no sense',
    })
    const { status, body } = await probe(rig.daemon, path)
    expect(status).toBe(200)
    expect(body.wire).toMatchObject({ dialect: 'number', path })
    await until(rig.state, ({ link }) => link.state === 'garbled', {
      seconds: 30,
      what: 'the same wire again',
    })
    expect((await rig.daemon.send('PUT', '/api/wire', body.wire)).status).toBe(200)
    await until(rig.state, ({ link }) => link.state === 'live', { seconds: 30, what: 'readings' })
  })
})
