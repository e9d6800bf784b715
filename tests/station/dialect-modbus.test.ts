import { describe, expect, test } from 'vitest'
import {
  makeDie,
  makeFolder,
  type ScriptedDie,
  SPRINGBACK_DEG,
  startOn,
  TAKEN_TO_DEG,
} from '../support/dialect-rig.ts'
import { type ModbusSensor, startModbusSensor } from '../support/modbus-sensor.ts'
import { expectSameAgain } from '../support/mount-rig.ts'
import { skipWithout } from '../support/needs.ts'
import { makePtyPair } from '../support/pty-pair.ts'

const WITHIN_DEG = 0.1
const UNIT = 5
const DIE = { mount: 'die', countsPerTurn: 0, direction: 'forward' } as const
/** How often the sensor measures. */
const SENSOR_HZ = 200

const float = new DataView(new ArrayBuffer(4))
const words = (deg: number): [high: number, low: number] => {
  float.setFloat32(0, deg)
  return [float.getUint16(0), float.getUint16(2)]
}
const wrapped = (deg: number) => ((deg % 360) + 360) % 360

/** Keeps the registers up to date until the test is over. */
function measure(die: ScriptedDie, sensor: ModbusSensor, put: (deg: number) => void): () => void {
  const startMs = performance.now()
  let given = 0
  const timer = setInterval(() => {
    const due = Math.floor(((performance.now() - startMs) / 1000) * SENSOR_HZ)
    let deg: number | null = null
    for (; given < due; given++) deg = die.read(1 / SENSOR_HZ)
    if (deg !== null) put(deg)
  }, 5)
  return () => {
    clearInterval(timer)
    void sensor.close()
  }
}

/** The other side is pymodbus. */
describe.skipIf(skipWithout('socat', 'pymodbus'))('a bend by a Modbus sensor', () => {
  test.for([
    [
      'as 16 bits of hundredths, over the seam',
      '--registers-as int16 --scale 0.01',
      (sensor: ModbusSensor) => (deg: number) =>
        sensor.put(
          8,
          Math.round((wrapped(deg) > 180 ? wrapped(deg) - 360 : wrapped(deg)) * 100) & 0xffff,
        ),
    ],
    [
      'as a float, low word first, with a pressure beside it',
      '--registers-as float32 --word-order low-first --pressure-register 12 --function holding',
      (sensor: ModbusSensor) => (deg: number) => {
        const [high, low] = words(wrapped(deg))
        sensor.put(8, low, high)
        sensor.put(12, ...words(82.5).reverse())
      },
    ],
  ] as const)('%s', async ([, flags, put], context) => {
    const folder = makeFolder(context)
    const pair = await makePtyPair(folder, 'bus')
    context.onTestFinished(() => pair.unplug())
    const sensor = await startModbusSensor(`${pair.path}-far-end`, UNIT)
    const die = makeDie(345)
    context.onTestFinished(measure(die, sensor, put(sensor)))
    const common = `--dialect modbus-rtu --unit-id ${UNIT} --function input --register 8`
    const args = ['--serial', pair.path, ...common.split(' '), ...flags.split(' ')]
    const rig = await startOn(context, folder, args, DIE)
    const bend = await rig.bend(die)

    expect(Math.abs((bend.peakDeg ?? 0) - TAKEN_TO_DEG)).toBeLessThan(WITHIN_DEG)
    const released = TAKEN_TO_DEG - SPRINGBACK_DEG
    expect(Math.abs((bend.releasedDeg ?? 0) - released)).toBeLessThan(WITHIN_DEG)
    expect(bend).toMatchObject({ verdict: 'in', hits: 1, learned: 'yes', simulated: false })
    expect(bend.chainRevision).toMatch(/^die-modbus-rtu(-pressure)? r1$/)
    await expectSameAgain(rig, bend)
  })
})
