import { describe, expect, test } from 'vitest'
import type { FirmwareChoice } from '../../firmware-protocol/bench/simulated-board-build.ts'
import { FIRMWARE_NEEDS, firmware } from '../support/firmware.ts'
import { openFirmware } from '../support/firmware-host.ts'
import { skipWithout } from '../support/needs.ts'

const MS = 1000
const at = (afterUs: number, counts: number, pressed = false) => ({ afterUs, counts, pressed })

const ABSOLUTE: readonly [string, FirmwareChoice, number][] = [
  ['over SPI', { SENSOR: 'absolute-spi' }, 16_384],
  ['over I²C, 14 bits', { SENSOR: 'absolute-i2c', I2C_ENCODER_BITS: 14 }, 16_384],
  ['over I²C, 12 bits', { SENSOR: 'absolute-i2c', I2C_ENCODER_BITS: 12 }, 4096],
]
const ACCELEROMETERS: readonly [string, FirmwareChoice][] = [
  ['high byte first', { SENSOR: 'accelerometer', ACCELEROMETER: 'high-first' }],
  ['low byte first', { SENSOR: 'accelerometer', ACCELEROMETER: 'low-first' }],
]

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))(
  'the real firmware with an incremental encoder',
  () => {
    test('follows it both ways, through zero, count by count', async (context) => {
      const host = await openFirmware(context)
      await host.hears('sample')
      host.hand.move(at(200 * MS, 1000), at(300 * MS, -700), at(50 * MS, -700))
      await host.hears('sample', 0, ({ counts }) => counts === -700)
      const counts = host
        .told()
        .flatMap((line) => (line !== 'refused' && line.kind === 'sample' ? [line.counts] : []))
      expect(Math.max(...counts)).toBeGreaterThan(970)
      expect(Math.max(...counts)).toBeLessThanOrEqual(1000)
      const { sentence } = await host.hears('status')
      expect(sentence).toMatchObject({ flags: 0, sensorErrors: 0 })
    })

    test('that is turned faster than it can follow says so', async (context) => {
      const host = await openFirmware(context)
      await host.hears('sample')
      host.hand.move(at(20 * MS, 20_000), at(MS, 20_000))
      const faulty = await host.hears('sample', 0, ({ flags }) => flags === 1)
      await host.hears('status', 0, ({ sensorErrors }) => sensorErrors > 0)
      // Seen for a second, and then over: how many counts are missing nobody knows.
      const good = await host.hears('sample', faulty.at, ({ flags }) => flags === 0)
      expect(good.sentence.tickUs - faulty.sentence.tickUs).toBeGreaterThan(900 * MS)
    })
  },
)

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))(
  'the real firmware with an absolute encoder',
  () => {
    test.for(ABSOLUTE)(
      '%s reads it as it stands, past the end of the turn',
      async ([, choice, turn], context) => {
        const host = await openFirmware(context, choice)
        const { sentence: hello } = await host.hears('hello')
        expect(hello).toMatchObject({ sensor: 'absolute', countsPerTurn: turn })
        for (const counts of [turn - 3, turn + 5, -2, 1234]) {
          host.hand.move(at(20 * MS, counts), at(10 * MS, counts))
          const right = ((counts % turn) + turn) % turn
          const { sentence } = await host.hears('sample', 0, (sample) => sample.counts === right)
          expect(sentence.flags).toBe(0)
        }
        host.hand.move(at(10 * MS, 1234, true), at(60 * MS, 1234, true))
        expect((await host.hears('event')).sentence).toMatchObject({ edge: 'down', counts: 1234 })
        const { sentence: status } = await host.hears('status')
        expect(status).toMatchObject({ flags: 0, sensorErrors: 0 })
        expect(await host.board.stackBytes()).toBeLessThan(400)
      },
    )

    test.for(ABSOLUTE)(
      '%s tells a weak magnet, an error and a pulled wire, and comes back',
      async ([, choice], context) => {
        const host = await openFirmware(context, choice)
        host.hand.move(at(20 * MS, 777), at(10 * MS, 777))
        await host.hears('sample', 0, ({ counts }) => counts === 777)
        host.board.order('sensor weak')
        const weak = await host.hears('sample', 0, ({ flags }) => flags === 2)
        expect(weak.sentence.counts).toBe(777)
        host.board.order('sensor error')
        const error = await host.hears('sample', weak.at, ({ flags }) => (flags & 1) !== 0)
        // The last good counts, not those of a failed reading.
        host.hand.move(at(10 * MS, 2000), at(50 * MS, 2000))
        await host.lets(200)
        expect(
          host.told().findLast((line) => line !== 'refused' && line.kind === 'sample'),
        ).toMatchObject({ counts: 777, flags: 1 })
        host.board.order('sensor absent')
        await host.hears(
          'status',
          error.at,
          ({ sensorErrors, flags }) => sensorErrors > 10 && flags === 1,
        )
        host.board.order('sensor good')
        const back = await host.hears('sample', error.at, ({ flags }) => flags === 0)
        expect(back.sentence.counts).toBe(2000)
      },
    )
  },
)

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('the real firmware with an accelerometer', () => {
  test.for(ACCELEROMETERS)(
    '%s tells its three axes, and finds it again after it was gone',
    async ([, choice], context) => {
      const host = await openFirmware(context, choice)
      const { sentence: hello } = await host.hears('hello')
      expect(hello).toMatchObject({ sensor: 'accelerometer', countsPerTurn: 16_384, rateHz: 181 })
      const axes = [-2044, 311, 16_240] as const
      host.hand.move({ ...at(20 * MS, 0), axes }, { ...at(10 * MS, 0), axes })
      const seen = await host.hears('axes', 0, ({ z }) => z === 16_240)
      expect(seen.sentence).toMatchObject({ x: -2044, y: 311, flags: 0 })
      host.board.order('sensor absent')
      const gone = await host.hears('axes', seen.at, ({ flags }) => flags === 1)
      expect(gone.sentence).toMatchObject({ x: -2044, y: 311, z: 16_240 })
      await host.hears('status', gone.at, ({ sensorErrors }) => sensorErrors > 0)
      host.board.order('sensor good')
      await host.hears('axes', gone.at, ({ flags }) => flags === 0)
    },
  )
})

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('the build of the firmware', () => {
  const CHOICES: readonly FirmwareChoice[] = [
    { SENSOR: 'quadrature', SECOND: 'pressure', RATE_HZ: 100 },
    ...ABSOLUTE.map(([, choice]) => choice),
    ...ACCELEROMETERS.map(([, choice]) => choice),
  ]

  test.each(CHOICES)('leaves a third of flash and memory free, %j', async (choice) => {
    const { used } = await firmware(choice)
    const shares = [...used.matchAll(/\((\d+) %\)/g)].map(([, share]) => Number(share))
    expect(shares).toHaveLength(2)
    expect(Math.max(...shares)).toBeLessThanOrEqual(66)
  })

  test('with the second channel sends it, and grants what the longer line allows', async (context) => {
    const host = await openFirmware(context, { SECOND: 'pressure', RATE_HZ: 100 })
    const { sentence } = await host.hears('sample', 0, ({ second }) => second !== null)
    expect(sentence.second).toBeGreaterThanOrEqual(0)
    expect(sentence.second).toBeLessThanOrEqual(1023)
    host.send({ kind: 'set-rate', command: 1, rateHz: 196 })
    host.send({ kind: 'set-rate', command: 2, rateHz: 195 })
    await host.hears('answer', 0, ({ command, ok }) => command === 2 && ok)
    expect((await host.hears('answer')).sentence).toMatchObject({ reason: 'too fast' })
  })

  test.each([
    [{ SENSOR: 'tilt' }, /SENSOR is quadrature/],
    [{ SENSOR: 'absolute-i2c', I2C_ENCODER_BITS: 10 }, /I2C_ENCODER_BITS is 14 or 12/],
    [{ SECOND: 'voltage' }, /SECOND is none or pressure/],
    [{ SENSOR: 'accelerometer', ACCELEROMETER: 'x' }, /ACCELEROMETER is high-first or low-first/],
  ])('refuses %j with its reason', async (choice, words) => {
    await expect(firmware(choice as unknown as FirmwareChoice)).rejects.toThrow(words)
  })

  test('fails when less than a third is left', async () => {
    const choice = { STACK_BYTES: 600 } as unknown as FirmwareChoice
    await expect(firmware(choice)).rejects.toThrow()
  })
})
