import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, describe, expect, test } from 'vitest'
import { parseModbusLine } from '../../firmware-protocol/codec/modbus-line.ts'
import { makeClock } from '../../server/link/clock.ts'
import type { ReceivedLine, WireState } from '../../server/link/link.ts'
import type { ModbusPoll } from '../../server/link/modbus-client.ts'
import { ModbusLink } from '../../server/link/modbus-link.ts'
import { until } from '../support/daemon.ts'
import { type ModbusSensor, startModbusSensor } from '../support/modbus-sensor.ts'
import { skipWithout } from '../support/needs.ts'
import { makePtyPair, type PtyPair } from '../support/pty-pair.ts'

const UNIT = 17
const POLL: ModbusPoll = { unitId: UNIT, function: 'input', register: 8, count: 2, timeoutS: 0.2 }

/** The other side is pymodbus: framing, checksum and exceptions are not ours. */
describe.skipIf(skipWithout('socat', 'pymodbus'))('a Modbus sensor on a real tty', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-modbus-'))
  const pairs: PtyPair[] = []
  const links: ModbusLink[] = []
  const sensors: ModbusSensor[] = []
  afterEach(async () => {
    for (const link of links.splice(0)) await link.close()
    for (const sensor of sensors.splice(0)) await sensor.close()
    for (const pair of pairs.splice(0)) await pair.unplug()
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  async function plug(name: string): Promise<{ path: string; sensor: ModbusSensor }> {
    const pair = await makePtyPair(folder, name)
    pairs.push(pair)
    const sensor = await startModbusSensor(`${pair.path}-far-end`, UNIT)
    sensors.push(sensor)
    return { path: pair.path, sensor }
  }

  function open(path: string, poll: Partial<ModbusPoll> = {}, pollS = 0.02) {
    const link = new ModbusLink({
      ...{ path, baudRate: 9600, parity: 'none', pollS, clock: makeClock() },
      poll: { ...POLL, ...poll },
    })
    links.push(link)
    const lines: ReceivedLine[] = []
    const states: WireState[] = []
    link.onState((state) => states.push(state))
    link.onLines((batch) => lines.push(...batch))
    link.open()
    const parsed = () => lines.map(({ text }) => parseModbusLine(text)!)
    return {
      link,
      lines,
      states,
      parsed,
      answers: () => parsed().flatMap((line) => (line.kind === 'answer' ? [line] : [])),
      reaches: (wanted: WireState['state'], seconds = 20) =>
        until(
          async () => link.state(),
          ({ state }) => state === wanted,
          { seconds, what: `the state ${wanted}` },
        ),
    }
  }

  test.each(['input', 'holding'] as const)(
    'gives its %s registers, poll by poll',
    async (table) => {
      const { path, sensor } = await plug(`reads-${table}`)
      sensor.put(8, 0x423d, 0x0000)
      const wire = open(path, { function: table })
      await wire.reaches('live')
      const before = wire.answers().length
      sensor.put(8, 0x423d, 0x8000)
      const answers = await until(
        async () => wire.answers(),
        (list) => list.length > before + 10 && list.at(-1)?.registers[1] === 0x8000,
        { seconds: 10, what: 'the new value' },
      )
      expect(answers.at(-1)).toMatchObject({ unitId: UNIT, registers: [0x423d, 0x8000] })
      expect(answers.every(({ ageUs }) => ageUs >= 0 && ageUs < 200_000)).toBe(true)
      expect(wire.link.state()).toMatchObject({ state: 'live', source: path, reason: '' })
      expect(wire.link.send()).toBe(false)
    },
  )

  test('is polled no more often than told', async () => {
    const { path } = await plug('pace')
    const wire = open(path, {}, 0.1)
    await wire.reaches('live')
    await until(
      async () => wire.lines.length,
      (count) => count >= 8,
      { seconds: 10, what: 'eight answers' },
    )
    const spanS = wire.lines[7]!.arrivalS - wire.lines[0]!.arrivalS
    expect(spanS).toBeGreaterThan(0.6)
  })

  test('that stays mute is silent, and live when it answers again', async () => {
    const { path, sensor } = await plug('mute')
    const wire = open(path)
    await wire.reaches('live')
    sensor.fault('mute')
    const silent = await wire.reaches('silent')
    expect(silent.reason).toBe(`No sensor answers as unit ${UNIT} on ${path}.`)
    expect(silent.hint).toContain('unit id')
    expect(wire.parsed().at(-1)).toEqual({ kind: 'timeout', unitId: UNIT, code: 0 })
    sensor.fault('none')
    await wire.reaches('live')
  })

  test('with another unit id is silent from the start; the port is opened anew', async () => {
    const { path } = await plug('unit')
    const wire = open(path, { unitId: 3 })
    const { reason } = await wire.reaches('silent')
    expect(reason).toContain('unit 3')
    await until(
      async () => wire.link.state().reconnects,
      (reconnects) => reconnects >= 1,
      { seconds: 20, what: 'a second opening' },
    )
    expect(wire.answers()).toEqual([])
  })

  test('whose answers are damaged is garbled: not one of them becomes a value', async () => {
    const { path, sensor } = await plug('corrupt')
    sensor.fault('corrupt')
    const wire = open(path)
    const garbled = await wire.reaches('garbled')
    expect(garbled.reason).toBe(`Answers on ${path} are damaged.`)
    expect(wire.answers()).toEqual([])
    expect(wire.parsed().at(-1)?.kind).toBe('crc')
    sensor.fault('none')
    await wire.reaches('live')
  })

  test('without the register refuses, and the exception is told', async () => {
    const { path } = await plug('exception')
    const wire = open(path, { register: 300 })
    const refused = await wire.reaches('garbled')
    expect(refused.reason).toBe(`Unit ${UNIT} on ${path} has no such register (exception 2).`)
    expect(wire.parsed().at(-1)).toEqual({ kind: 'exception', unitId: UNIT, code: 2 })
  })

  test('that is unplugged is lost, and found again', async () => {
    const { path } = await plug('unplug')
    const wire = open(path)
    await wire.reaches('live')
    await sensors.pop()!.close()
    await pairs.pop()!.unplug()
    const lost = await wire.reaches('lost')
    expect(lost.reason).toMatch(/has gone|There is no port/)
    await plug('unplug')
    const live = await wire.reaches('live', 30)
    expect(live.reconnects).toBeGreaterThanOrEqual(1)
  })

  test('on a port that is not there says so', async () => {
    const wire = open(join(folder, 'nowhere'))
    const { state, reason } = await until(
      async () => wire.link.state(),
      (now) => now.reason !== '',
      { seconds: 10, what: 'a reason' },
    )
    expect({ state, reason }).toEqual({
      state: 'opening',
      reason: `There is no port ${join(folder, 'nowhere')}.`,
    })
    await wire.link.close()
    expect(wire.link.state().state).toBe('closed')
  })
})
