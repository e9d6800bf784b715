import { describe, expect, test } from 'vitest'
import type { LinkState } from '../../../../server/messages/live.ts'
import type { PressureChannel, Sensor } from '../../../../server/messages/sensor.ts'
import type { Wire } from '../../../../server/messages/wire.ts'
import { AS_BOARD_SAYS } from '../../../../server/station/chain-for.ts'
import { checkSensor } from '../../../../server/station/sensor-check.ts'
import { sensorNotices } from '../../../../server/station/sensor-notices.ts'
import { Refused } from '../../../../server/web/station-door.ts'

const NOTHING = { device: null, gravity: null }
const sensor = (change: Partial<Sensor>): Sensor => ({ ...AS_BOARD_SAYS, ...change })
const board = (kind: string): LinkState['device'] => ({
  firmware: '1',
  board: 'B1',
  sensor: kind,
  countsPerTurn: 4096,
  rateHz: 200,
})
const PRESSURE: PressureChannel = {
  kind: 'pressure',
  zeroCounts: 102,
  fullCounts: 921,
  fullBar: 250,
  letOffBar: 5,
}
const upright = { xG: 0.6, yG: 0.02, zG: 0.8 }

function refusal(given: Sensor, seen: Parameters<typeof checkSensor>[1] = NOTHING): Refused {
  try {
    checkSensor(given, seen)
  } catch (error) {
    if (error instanceof Refused) return error
    throw error
  }
  throw new Error('it was not refused')
}

describe('a sensor that can be', () => {
  test.each<[string, Partial<Sensor>, Parameters<typeof checkSensor>[1]]>([
    ['an encoder on the die, of which no board is known', {}, NOTHING],
    ['on the die', {}, { device: board('incremental'), gravity: null }],
    ['on the arm', { mount: 'arm' }, { device: board('absolute'), gravity: null }],
    ['a tilt sensor', { mount: 'leg-tilt' }, { device: board('accelerometer'), gravity: upright }],
    ['one under a spindle at 60°', { mount: 'swing-tilt', spindleDeg: 60 }, NOTHING],
    ['pressure and automatic datum', { second: PRESSURE, autoDatum: true }, NOTHING],
    ['an encoder on a flat bender', { spindleDeg: 90 }, NOTHING],
  ])('%s', (_, change, seen) => {
    expect(() => checkSensor(sensor(change), seen)).not.toThrow()
  })
})

describe('a tilt sensor on a swing that lies flat is refused', () => {
  test.each([
    [60.1, '0.50'],
    [75, '0.26'],
    [85, '0.09'],
    [90, '0.00'],
  ])('by a stated lean of %d°, with %s g', (spindleDeg, planeG) => {
    const { message, field } = refusal(sensor({ mount: 'swing-tilt', spindleDeg }))
    expect(message).toBe(
      `With a spindle ${spindleDeg}° out of the horizontal only ${planeG} g of gravity lies in the plane of the swing, and 0.5 g is the least: use an encoder on the die or the arm.`,
    )
    expect(field).toBe('sensor.spindleDeg')
  })

  test('by what the board shows', () => {
    const seen = { device: board('accelerometer'), gravity: { xG: 0.04, yG: -0.99, zG: 0.03 } }
    const { message, field, code } = refusal(sensor({ mount: 'leg-tilt' }), seen)
    expect(message).toBe(
      'The board shows x 0.04, y -0.99 and z 0.03 g, so by +x and +z only 0.05 g of gravity lies in the plane of the swing, and 0.5 g is the least: name the axes that lie in it, or, where the swing is flat, use an encoder on the die or the arm.',
    )
    expect([code, field]).toEqual(['bad-input', 'sensor.axes'])
  })

  /** Told from readings alone, against the definition: gravity less its part along the spindle. */
  test.each(Array.from({ length: 19 }, (_, nth) => nth * 5))('from readings, lean %i°', (deg) => {
    const lean = (deg * Math.PI) / 180
    const spindle = [0, 1, 0] as const
    const gravity = [Math.cos(lean) * 0.28, Math.sin(lean), Math.cos(lean) * 0.96] as const
    const dot = gravity.reduce((sum, part, at) => sum + part * (spindle[at] ?? 0), 0)
    const rest = gravity.map((part, at) => part - dot * (spindle[at] ?? 0))
    const inPlaneG = Math.sqrt(rest.reduce((sum, part) => sum + part * part, 0))
    const [xG, yG, zG] = gravity
    const check = () =>
      checkSensor(sensor({ mount: 'swing-tilt' }), { device: null, gravity: { xG, yG, zG } })
    if (inPlaneG >= 0.5) expect(check).not.toThrow()
    else expect(check).toThrow(`only ${inPlaneG.toFixed(2)} g`)
  })

  test('of other axes it is taken', () => {
    const seen = { device: null, gravity: { xG: 0.04, yG: -0.99, zG: 0.03 } }
    const axes = { sine: '+x', cosine: '-y' } as const
    expect(() => checkSensor(sensor({ mount: 'leg-tilt', axes }), seen)).not.toThrow()
  })

  test('of readings that are no numbers too', () => {
    const gravity = { xG: Number.NaN, yG: 0, zG: 0 }
    expect(refusal(sensor({ mount: 'leg-tilt' }), { device: null, gravity }).field).toBe(
      'sensor.axes',
    )
  })
})

describe('a sensor that cannot be is refused', () => {
  test.each<[Partial<Sensor>, string, string]>([
    [
      { mount: 'swing-tilt', axes: { sine: '+x', cosine: '-x' } },
      'sensor.axes',
      'sensor.axes must be two axes, not +x and -x.',
    ],
    [
      { autoDatum: true },
      'sensor.autoDatum',
      'An automatic datum needs a pressure or a switch on the second channel.',
    ],
    [
      { mount: 'leg-tilt', second: PRESSURE },
      'sensor.second',
      'The lines of an accelerometer carry no second channel: leave it out.',
    ],
    [
      { second: { ...PRESSURE, fullCounts: 102 } },
      'sensor.second.fullCounts',
      'Counts at no pressure and at full scale must differ, both are 102.',
    ],
    [
      { second: { ...PRESSURE, letOffBar: 126 } },
      'sensor.second.letOffBar',
      'The tube counts as let off below 126 bar, and that must be at most half of the full 250 bar.',
    ],
  ])('%j', (change, field, sentence) => {
    expect(refusal(sensor(change))).toMatchObject({ field, message: sentence, code: 'bad-input' })
  })

  test.each([
    ['die', 'accelerometer', 'an accelerometer', 'an encoder'],
    ['arm', 'accelerometer', 'an accelerometer', 'an encoder'],
    ['swing-tilt', 'incremental', 'an incremental encoder', 'an accelerometer'],
    ['leg-tilt', 'absolute', 'an absolute encoder', 'an accelerometer'],
  ] as const)('"%s" by a board with %s', (mount, kind, has, needs) => {
    const { message } = refusal(sensor({ mount }), { device: board(kind), gravity: null })
    expect(message).toBe(`The board B1 has ${has}, and the mount "${mount}" needs ${needs}.`)
  })
})

describe('over a dialect that brings its own pressure', () => {
  const wire = (options: object): Wire => ({
    kind: 'tcp',
    host: 'bender',
    port: 4001,
    dialect: 'nmea-xdr',
    options,
  })
  test('an automatic datum needs one there', () => {
    const auto = sensor({ autoDatum: true })
    expect(() => checkSensor(auto, NOTHING, wire({ pressureName: '*' }))).not.toThrow()
    expect(() => checkSensor(auto, NOTHING, wire({ switchName: 'PEDAL' }))).not.toThrow()
    expect(() => checkSensor(auto, NOTHING, wire({}))).toThrow('needs a pressure or a switch')
  })
  test('a tilt sensor may have one beside it', () => {
    const tilt = sensor({ mount: 'leg-tilt', second: PRESSURE })
    expect(() => checkSensor(tilt, NOTHING, wire({ pressureName: '*' }))).not.toThrow()
  })
})

describe('notices', () => {
  const ids = (change: Partial<Sensor>, seen: Parameters<typeof checkSensor>[1]) =>
    sensorNotices(sensor(change), seen).map(({ id }) => id)
  const tilted = { xG: 0.9, yG: 0.2, zG: 0.3 }
  const flat = { xG: 0.1, yG: 0.99, zG: 0 }
  test.each<[Partial<Sensor>, Parameters<typeof checkSensor>[1], string[]]>([
    [{}, NOTHING, []],
    [{}, { device: board('accelerometer'), gravity: null }, ['wrong-board']],
    [{ mount: 'swing-tilt' }, { device: board('accelerometer'), gravity: upright }, []],
    [
      { mount: 'swing-tilt' },
      { device: board('accelerometer'), gravity: tilted },
      ['leaning-sensor'],
    ],
    [{ mount: 'leg-tilt' }, { device: board('accelerometer'), gravity: flat }, ['flat-swing']],
    [{ mount: 'leg-tilt' }, { device: board('absolute'), gravity: flat }, ['wrong-board']],
    [{ mount: 'arm' }, { device: null, gravity: flat }, []],
  ])('%j, %j', (change, seen, expected) => {
    expect(ids(change, seen)).toEqual(expected)
  })
})
