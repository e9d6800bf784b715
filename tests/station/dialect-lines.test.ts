import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { RecentLine } from '../../server/messages/wire.ts'
import { xdrLine } from '../support/dialect-lines.ts'
import {
  makeDie,
  makeFolder,
  plugInSensor,
  SPRINGBACK_DEG,
  type SpeakerSpec,
  startOn,
  TAKEN_TO_DEG,
} from '../support/dialect-rig.ts'
import { expectSameAgain } from '../support/mount-rig.ts'
import { skipWithout } from '../support/needs.ts'

/** Or one step of the sensor, whichever is larger: no step of these is. */
const WITHIN_DEG = 0.1
const DIE = { mount: 'die', countsPerTurn: 0, direction: 'forward' } as const
/** Just below the seam of a sensor that goes from 0 to 360. */
const BELOW_SEAM_DEG = 345
const COUNTS_PER_TURN = 8192

const wrapped = (deg: number) => ((deg % 360) + 360) % 360
const counts = (deg: number) => Math.round((deg / 360) * COUNTS_PER_TURN)

interface Case {
  readonly name: string
  readonly flags: string
  readonly speaker: SpeakerSpec
  readonly sensor?: object
  readonly chain: string
}

/** Reversed sensors, gears, seams, counts and bursts are shared out among them. */
const CASES: readonly Case[] = [
  {
    name: 'NMEA 0183 XDR in degrees over the seam, 20 a second',
    flags: '--dialect nmea-xdr --baud 9600 --name BEND',
    speaker: {
      ...{ rateHz: 20, burstMs: 5 },
      line: (deg) => xdrLine('A,1.0,D,PTCH', `A,${wrapped(deg).toFixed(2)},D,BEND`),
    },
    chain: 'die-nmea-xdr r1',
  },
  {
    name: 'NMEA 0183 XDR in bursts of 16 ms among sentences of another sensor',
    flags: '--dialect nmea-xdr',
    speaker: {
      ...{ rateHz: 100, burstMs: 16 },
      line: (deg) =>
        `${xdrLine('C,21.5,C,AIR')}\r\n${xdrLine(`A,${wrapped(deg).toFixed(2)},D,BEND`)}`,
    },
    chain: 'die-nmea-xdr r1',
  },
  {
    name: 'one number a line, falling as the tube is bent, in bursts of 16 ms',
    flags: '--dialect number',
    speaker: { ...{ rateHz: 200, burstMs: 16 }, line: (deg) => (-deg).toFixed(2) },
    sensor: { direction: 'reversed' },
    chain: 'die-number r1',
  },
  {
    name: 'a column of counts behind a gear of two to one',
    flags: `--dialect number --separator semicolon --column 2 --unit counts --counts-per-turn ${COUNTS_PER_TURN}`,
    speaker: { ...{ rateHz: 100, burstMs: 5 }, line: (deg) => `x; ${counts(2 * deg)}` },
    sensor: { turnDeg: 180 },
    chain: 'die-number r1',
  },
]

describe.skipIf(skipWithout('socat'))('a bend by a sensor that is no board of ours', () => {
  test.for(CASES)('$name', async (given, context) => {
    const { flags, speaker, sensor, chain } = given
    const folder = makeFolder(context)
    const path = join(folder, 'tty')
    const die = makeDie(BELOW_SEAM_DEG)
    const { heard } = await plugInSensor(context, path, die, speaker)
    const args = ['--serial', path, ...flags.split(' ')]
    const rig = await startOn(context, folder, args, { ...DIE, ...sensor })
    const bend = await rig.bend(die)

    expect(Math.abs((bend.peakDeg ?? 0) - TAKEN_TO_DEG)).toBeLessThan(WITHIN_DEG)
    const released = TAKEN_TO_DEG - SPRINGBACK_DEG
    expect(Math.abs((bend.releasedDeg ?? 0) - released)).toBeLessThan(WITHIN_DEG)
    expect(bend).toMatchObject({
      verdict: 'in',
      hits: 1,
      closedBy: 'accepted',
      learned: 'yes',
      simulated: false,
      firmware: null,
      chainRevision: chain,
    })
    const lines = await rig.daemon.get<RecentLine[]>('/api/wire/lines')
    expect(lines.length).toBeGreaterThan(20)
    expect(lines.every(({ ok }) => ok)).toBe(true)
    const { link } = await rig.state()
    expect(link).toMatchObject({ state: 'live', device: null })
    expect(link.counters).toMatchObject({ badChecksum: 0, malformed: 0, overlong: 0 })
    // Nobody tells a sensor anything that it could misunderstand.
    expect(heard).toEqual([])
    await expectSameAgain(rig, bend)
  })
})
