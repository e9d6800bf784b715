import { describe, expect, test } from 'vitest'
import type { Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { FIRMWARE_NEEDS } from '../support/firmware.ts'
import { type FirmwareHost, openFirmware } from '../support/firmware-host.ts'
import { skipWithout } from '../support/needs.ts'

/** What SPECIFICATION.md says a device MUST do, asked of the real firmware through a terminal. */

const DEVICE_KINDS = new Set(['hello', 'sample', 'status', 'event', 'answer', 'clock-reply'])
const of = <K extends Sentence['kind']>(host: FirmwareHost, kind: K) =>
  host.told().filter((line) => line !== 'refused' && line.kind === kind) as Extract<
    Sentence,
    { kind: K }
  >[]
const answersTo = (host: FirmwareHost, command: number) =>
  of(host, 'answer').filter((answer) => answer.command === command)
const OK = { ok: true, reason: '' }

/** Sends something and gives the one answer to it. */
async function answered(host: FirmwareHost, bytes: string, command: number) {
  host.sendBytes(bytes)
  await host.hears('answer', 0, (answer) => answer.command === command)
  await host.lets(30)
  expect(answersTo(host, command)).toHaveLength(1)
  return answersTo(host, command)[0]
}

/** Steps of the count that samples and events share; the first is not told. */
function steps(host: FirmwareHost): number[] {
  const numbers = host
    .told()
    .flatMap((line) => (line !== 'refused' && 'sequence' in line ? [line.sequence] : []))
  return numbers.slice(1).map((number, at) => (number - numbers[at]! + 65_536) % 65_536)
}

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('the real firmware at its start', () => {
  test('says CR LF and hello before anything else, and begins at 0', async (context) => {
    const host = await openFirmware(context)
    const { sentence: hello, at } = await host.hears('hello')
    expect(at).toBe(0)
    expect(host.bytes().slice(0, 9)).toBe('\r\n$PXOBH,')
    expect(hello).toEqual({
      kind: 'hello',
      protocol: 1,
      firmware: '0.1.0',
      board: 'TEST-1',
      sensor: 'incremental',
      countsPerTurn: 4096,
      rateHz: 200,
    })
    const { sentence: sample } = await host.hears('sample')
    expect(sample).toMatchObject({ sequence: 0, counts: 0, flags: 0, second: null })
    expect(sample.tickUs).toBeLessThan(20_000)
  })

  test('switches all outputs off', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    const off = host.board.pins().map(({ output, on }) => [output, on])
    expect(off).toEqual([
      ['buzzer', false],
      ['lamp', false],
      ['relay', false],
    ])
  })

  test('ends a torn line after a reset, begins anew and drops its outputs', async (context) => {
    const host = await openFirmware(context)
    await host.hears('hello')
    host.send({ kind: 'set-output', command: 1, output: 'relay', on: true, timeToLiveMs: 2000 })
    await host.hears('answer')
    await host.hears('sample', 0, ({ sequence }) => sequence > 20)
    host.hand.move({ afterUs: 1000, counts: 40, pressed: false })
    await host.lets(60)
    host.board.order('reset')
    const again = await host.hears('hello', 1)
    expect(host.bytes().slice(20)).toContain('\r\n$PXOBH,')
    const { sentence: sample } = await host.hears('sample', again.at)
    expect(sample).toMatchObject({ sequence: 0, counts: 0 })
    const relay = host.board.pins().filter(({ output }) => output === 'relay')
    expect(relay.map(({ on }) => on)).toEqual([false, true, false])
    expect(relay[2]!.atUs - relay[1]!.atUs).toBeLessThan(1_500_000)
  })

  test('without a number draws one, and has the same after a reset', async (context) => {
    const host = await openFirmware(context, {}, '')
    const { sentence: first } = await host.hears('hello')
    expect(first.board).toMatch(/^OB-[0-9A-F]{8}$/)
    host.board.order('reset')
    expect((await host.hears('hello', 1)).sentence).toEqual(first)
  })
})

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('the real firmware, asked', () => {
  test.for([
    ['its own version', 1],
    ['a higher one', 7],
    ['none', undefined],
  ] as const)(
    'identify with %s: OK, and hello as the very next line',
    async ([, protocol], context) => {
      const host = await openFirmware(context)
      const { sentence: start } = await host.hears('hello')
      await host.hears('sample', 0, ({ sequence }) => sequence > 10)
      host.send({ kind: 'identify', command: 65_535, ...(protocol ? { protocol } : {}) })
      const { at } = await host.hears('answer')
      expect(host.told()[at]).toEqual({ kind: 'answer', command: 65_535, ...OK })
      await host.hears('hello', at)
      expect(host.told()[at + 1]).toEqual(start)
      await host.lets(50)
      expect(steps(host).every((step) => step === 1)).toBe(true)
    },
  )

  test('set rate changes the rate, and the count goes on', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample', 0, ({ sequence }) => sequence > 20)
    host.send({ kind: 'set-rate', command: 10, rateHz: 50 })
    const { at } = await host.hears('answer')
    await host.lets(600)
    const ticks = host
      .told()
      .slice(at)
      .flatMap((line) => (line !== 'refused' && line.kind === 'sample' ? [line.tickUs] : []))
    const meanUs = (ticks.at(-1)! - ticks[0]!) / (ticks.length - 1)
    expect(ticks.length).toBeGreaterThan(20)
    expect(Math.abs(meanUs - 20_000)).toBeLessThan(200)
    expect(steps(host).every((step) => step === 1)).toBe(true)
    expect(of(host, 'hello')).toHaveLength(1)
  })

  test('a rate that the wire cannot carry is too fast; the highest that it grants, it keeps', async (context) => {
    const host = await openFirmware(context)
    await host.hears('hello')
    host.send({ kind: 'set-rate', command: 1, rateHz: 1000 })
    host.send({ kind: 'set-rate', command: 2, rateHz: 212 })
    await host.hears('answer', 0, ({ command }) => command === 2)
    expect(of(host, 'answer').map(({ reason }) => reason)).toEqual(['too fast', 'too fast'])
    host.send({ kind: 'set-rate', command: 3, rateHz: 211 })
    const { at } = await host.hears('answer', 0, ({ command }) => command === 3)
    expect(host.told()[at]).toMatchObject(OK)
    await host.lets(2500)
    expect(steps(host).every((step) => step === 1)).toBe(true)
    expect(of(host, 'status').at(-1)).toMatchObject({ overruns: 0, sensorErrors: 0 })
  })

  test('refuses with its reason what is whole but does not fit', async (context) => {
    const host = await openFirmware(context)
    await host.hears('hello')
    const badField = '$PXOBO,33,LAMP,ON,5000,A5B5*71\r\n'
    const wrongCount = '$PXOBF,36,50,1,0925*7C\r\n'
    expect(await answered(host, badField, 33)).toMatchObject({ ok: false, reason: 'bad field' })
    expect(await answered(host, wrongCount, 36)).toMatchObject({ reason: 'wrong field count' })
    expect(host.board.pins().every(({ on }) => !on)).toBe(true)
  })

  test('an output that the board has not is not supported', async (context) => {
    const host = await openFirmware(context, { OUTPUTS: 1 })
    await host.hears('hello')
    const on = { on: true, timeToLiveMs: 200 } as const
    host.send({ kind: 'set-output', command: 1, output: 'relay', ...on })
    host.send({ kind: 'set-output', command: 2, output: 'lamp', ...on })
    host.send({ kind: 'set-output', command: 3, output: 'buzzer', ...on })
    await host.hears('answer', 0, ({ command }) => command === 3)
    const reasons = of(host, 'answer').map(({ reason }) => reason)
    expect(reasons).toEqual(['not supported', 'not supported', ''])
    expect(host.board.pins().filter(({ on: isOn }) => isOn)).toMatchObject([{ output: 'buzzer' }])
  })

  test('does not act on or answer damage, strangers, sentences of a device, or noise', async (context) => {
    const host = await openFirmware(context)
    await host.hears('hello')
    host.sendBytes('$PXOBK,34,DCAD*4B\r\n')
    host.sendBytes('$PXOBF,35,50,1234*00\r\n')
    host.sendBytes('$PXOBA,40,OK,,F6FE*32\r\n')
    host.sendBytes('$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n')
    host.sendBytes(`\0\xff${'x'.repeat(5000)}\r\n\r\n\n\r\r`)
    host.sendBytes('$PXOBB,021,0000*00\r\n')
    expect(await answered(host, '$PXOBB,21,4C4E*42\r\n', 21)).toMatchObject(OK)
    expect(of(host, 'answer')).toHaveLength(1)
    expect(host.told().every((line) => line !== 'refused' && DEVICE_KINDS.has(line.kind))).toBe(
      true,
    )
  })

  test('takes lines that end with CR LF, LF or CR', async (context) => {
    const host = await openFirmware(context)
    await host.hears('hello')
    expect(await answered(host, '$PXOBB,21,4C4E*42\n', 21)).toMatchObject(OK)
    expect(await answered(host, '$PXOBB,22,7C2D*45\r', 22)).toMatchObject(OK)
    expect(await answered(host, '$PXOBB,3,A79C*78\r\n', 3)).toMatchObject(OK)
  })

  test('holds two whole lines that came back to back, the longest there are', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    host.send(
      { kind: 'set-output', command: 65_534, output: 'buzzer', on: true, timeToLiveMs: 2000 },
      { kind: 'set-output', command: 65_535, output: 'buzzer', on: false, timeToLiveMs: 2000 },
    )
    await host.hears('answer', 0, ({ command }) => command === 65_535)
    expect(of(host, 'answer').map(({ command, ok }) => [command, ok])).toEqual([
      [65_534, true],
      [65_535, true],
    ])
  })

  test('tells when the query was in and when its reply began, on its own clock', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    for (let command = 1; command <= 20; command++) {
      const beforeUs = host.board.nowUs()
      host.send({ kind: 'clock-query', command })
      const { sentence } = await host.hears('clock-reply', 0, (reply) => reply.command === command)
      const takesUs = sentence.sentTickUs - sentence.receivedTickUs
      expect(takesUs).toBeGreaterThan(0)
      expect(takesUs).toBeLessThan(30_000)
      // The board's tick began at its reset; the query cannot have been in before it was sent.
      const startUs = host.board.resetsUs().at(-1) ?? 0
      expect(sentence.receivedTickUs).toBeGreaterThan(beforeUs - startUs - 6000)
      expect(sentence.receivedTickUs).toBeLessThan(host.board.nowUs() - startUs)
      await host.lets(7)
    }
    expect(of(host, 'answer')).toEqual([])
    expect(steps(host).every((step) => step === 1)).toBe(true)
  })

  test('says how it is every second, and when the supply is low', async (context) => {
    const host = await openFirmware(context)
    await host.lets(2200)
    host.board.order('supply 4000')
    await host.lets(2200)
    const all = of(host, 'status')
    expect(all.length).toBeGreaterThanOrEqual(4)
    const gaps = all.slice(1).map(({ tickUs }, at) => tickUs - all[at]!.tickUs)
    expect(Math.max(...gaps)).toBeLessThan(1_100_000)
    expect(all[0]).toMatchObject({ flags: 0, overruns: 0, sensorErrors: 0 })
    // Ten bits of the bandgap: 1100 mV of 5000 mV are 225 steps, so one step is 22 mV.
    expect(Math.abs(all[0]!.supplyMv - 5000)).toBeLessThan(25)
    expect(all.at(-1)).toMatchObject({ flags: 4 })
    expect(Math.abs(all.at(-1)!.supplyMv - 4000)).toBeLessThan(25)
    expect(of(host, 'sample').at(-1)).toMatchObject({ flags: 4 })
  })
})
