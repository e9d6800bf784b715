import { describe, expect, test } from 'vitest'
import { FIRMWARE_NEEDS } from '../support/firmware.ts'
import { type FirmwareHost, openFirmware } from '../support/firmware-host.ts'
import { skipWithout } from '../support/needs.ts'

/** Outputs and pedal of the real firmware, seen at its pins. */

type Output = 'buzzer' | 'lamp' | 'relay'
const MS = 1000
/** An output is put on its pin once a round of the firmware, a millisecond and a little at most. */
const ROUND_US = 3 * MS

/** When an output was switched, behind the three that are switched off at the start. */
const switched = (host: FirmwareHost, output: Output) =>
  host.board
    .pins()
    .slice(3)
    .filter((pin) => pin.output === output)
const setOutput = (command: number, output: Output, on: boolean, timeToLiveMs: number) =>
  ({ kind: 'set-output', command, output, on, timeToLiveMs }) as const
const events = (host: FirmwareHost) =>
  host.told().flatMap((line) => (line !== 'refused' && line.kind === 'event' ? [line] : []))

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('an output of the real firmware', () => {
  test('drops out by itself when its time to live is over', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    host.send(setOutput(1, 'buzzer', true, 500))
    await host.hears('answer')
    await host.lets(700)
    const [on, off, ...more] = switched(host, 'buzzer')
    expect([on?.on, off?.on, more.length]).toEqual([true, false, 0])
    expect(Math.abs(off!.atUs - on!.atUs - 500 * MS)).toBeLessThan(ROUND_US)
  })

  test('drops out when the host has closed the port', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    host.send(setOutput(1, 'relay', true, 800))
    await host.hears('answer')
    await host.close()
    await host.lets(1000)
    const [on, off] = switched(host, 'relay')
    expect(Math.abs(off!.atUs - on!.atUs - 800 * MS)).toBeLessThan(ROUND_US)
  })

  test('lives on by heartbeats, its own time after the last; none is woken by one', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    host.send(setOutput(1, 'buzzer', true, 300))
    await host.hears('answer')
    let sentUs = 0
    for (let command = 2; command < 8; command++) {
      await host.lets(150)
      sentUs = host.board.nowUs()
      host.send({ kind: 'heartbeat', command })
      await host.hears('answer', 0, (answer) => answer.command === command)
    }
    // The board heard the last one somewhere between the two: this host may be slow to look at its clock.
    const answeredUs = host.board.nowUs()
    await host.lets(500)
    host.send({ kind: 'heartbeat', command: 9 })
    await host.hears('answer', 0, ({ command }) => command === 9)
    await host.lets(50)
    const buzzer = switched(host, 'buzzer')
    expect(buzzer.map(({ on }) => on)).toEqual([true, false])
    const fellUs = buzzer[1]!.atUs
    expect(fellUs).toBeGreaterThan(sentUs + 300 * MS - ROUND_US)
    expect(fellUs).toBeLessThan(answeredUs + 300 * MS + ROUND_US)
    expect(switched(host, 'lamp')).toEqual([])
    expect(switched(host, 'relay')).toEqual([])
  })

  test('is not kept alive by any other line, whole or damaged', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    host.send(setOutput(1, 'lamp', true, 400))
    await host.hears('answer')
    for (let command = 2; command < 12; command++) {
      host.send({ kind: 'clock-query', command }, { kind: 'identify', command: command + 100 })
      host.send({ kind: 'set-rate', command: command + 200, rateHz: 100 })
      host.send(setOutput(command + 300, 'buzzer', true, 2000))
      host.sendBytes('$PXOBB,21,4C4E*43\r\n')
      await host.lets(60)
    }
    const [on, off] = switched(host, 'lamp')
    expect(Math.abs(off!.atUs - on!.atUs - 400 * MS)).toBeLessThan(ROUND_US)
  })

  test('begins anew with ON, with the new time, and goes off with OFF', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    host.send(setOutput(1, 'relay', true, 2000), setOutput(2, 'lamp', true, 2000))
    await host.lets(200)
    host.send(setOutput(3, 'relay', true, 100), setOutput(4, 'lamp', false, 1))
    await host.hears('answer', 0, ({ command }) => command === 4)
    await host.lets(300)
    const relay = switched(host, 'relay')
    const lamp = switched(host, 'lamp')
    expect(relay.map(({ on }) => on)).toEqual([true, false])
    expect(relay[1]!.atUs - relay[0]!.atUs).toBeLessThan(450 * MS)
    expect(lamp.map(({ on }) => on)).toEqual([true, false])
    expect(lamp[1]!.atUs).toBeLessThan(relay[1]!.atUs)
  })
})

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('the pedal of the real firmware', () => {
  const at = (afterUs: number, counts: number, pressed: boolean) => ({ afterUs, counts, pressed })

  test('gives one DOWN and one UP a press, with tick and counts of the first contact', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    const times = host.hand.move(
      at(50 * MS, 0, false),
      // The die turns 100 counts in 100 ms while the contact bounces for 4 ms.
      at(20 * MS, 20, true),
      ...[300, 200, 900, 100, 1500, 1000].map((us, n) => at(us, 20 + n + 1, n % 2 === 1)),
      at(76 * MS, 100, true),
      at(50 * MS, 100, false),
      at(400, 100, true),
      at(600, 100, false),
      at(100 * MS, 100, false),
    )
    await host.lets(500)
    const [down, up, ...more] = events(host)
    expect(more).toEqual([])
    expect(down).toMatchObject({ input: 1, edge: 'down', counts: 20 })
    expect(up).toMatchObject({ input: 1, edge: 'up', counts: 100 })
    const startUs = host.board.resetsUs().at(-1) ?? 0
    const startsAfterUs = times[1]! - startUs - down!.tickUs
    // The firmware's clock begins a little behind the reset; both edges are seen from the same beginning.
    expect(startsAfterUs).toBeGreaterThanOrEqual(0)
    expect(startsAfterUs).toBeLessThan(2 * MS)
    expect(Math.abs(up!.tickUs - down!.tickUs - (times[9]! - times[1]!))).toBeLessThan(50)
  })

  test('says nothing of a spark, nor of a foot that was on it at the start', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    host.hand.move(at(20 * MS, 0, true), at(2 * MS, 0, false), at(100 * MS, 0, false))
    await host.lets(200)
    expect(events(host)).toEqual([])
    host.hand.move(at(10 * MS, 0, true), at(100 * MS, 0, true))
    await host.hears('event', 0, ({ edge }) => edge === 'down')
    host.board.order('reset')
    const { at: again } = await host.hears('hello', 1)
    await host.lets(200)
    host.hand.move(at(10 * MS, 0, false), at(50 * MS, 0, false))
    await host.hears('event', again)
    expect(events(host).map(({ edge }) => edge)).toEqual(['down', 'up'])
  })

  test('is heard through a flood of queries: samples are left out, counted, before any event', async (context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    for (let press = 0; press < 8; press++)
      host.hand.move(at(60 * MS, 0, true), at(60 * MS, 0, false))
    host.hand.move(at(100 * MS, 0, false))
    // Identify is 22 characters and its answers 93: the wire cannot carry them all with 200 samples a second.
    for (let round = 0; round < 40; round++) {
      host.sendBytes('$PXOBI,1,1,21BA*60\r\n'.repeat(10))
      await host.lets(25)
    }
    await host.lets(2500)
    expect(events(host).map(({ edge }) => edge)).toEqual(Array(8).fill(['down', 'up']).flat())
    const numbered = host
      .told()
      .flatMap((line) => (line !== 'refused' && 'sequence' in line ? [line.sequence] : []))
    const missing = numbered.slice(1).reduce((sum, number, n) => sum + number - numbered[n]! - 1, 0)
    const status = host.told().findLast((line) => line !== 'refused' && line.kind === 'status')
    expect(missing).toBeGreaterThan(10)
    expect(status).toMatchObject({ overruns: missing })
    // Lines leave in the order of their count, and whole.
    expect(numbered).toEqual([...numbered].sort((a, b) => a - b))
    expect(host.told()).not.toContain('refused')
  })
})
