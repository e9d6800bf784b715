import { afterEach, describe, expect, test } from 'vitest'
import type { SensorSpec } from '../../../../firmware-protocol/bench/sensor.ts'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import type { BenchLink } from '../../../../server/link/bench-link.ts'
import type { Link } from '../../../../server/link/link.ts'
import type { Samples } from '../../../../server/messages/live.ts'
import { makeRig } from '../../../support/station-rig.ts'

const BAD = 2
const SENSOR_FAULT = 1
/** SPECIFICATION.md, "Flags": the fault is shown for a second. */
const SHOWN_S = 1

const rigs: { close(): Promise<void> }[] = []
afterEach(async () => {
  for (const rig of rigs.splice(0)) await rig.close()
})

/** A board whose samples or status can be made to say that counts were lost. */
function doubtful() {
  const says = { flag: false, sensorErrors: 0 }
  function said(text: string): string {
    const decoded = decodeLine(text)
    if (!decoded.ok) return text
    const { sentence } = decoded
    if (sentence.kind === 'sample' && says.flag)
      return encodeSentence({ ...sentence, flags: sentence.flags | SENSOR_FAULT })
    if (sentence.kind === 'status')
      return encodeSentence({ ...sentence, sensorErrors: says.sensorErrors })
    return text
  }
  const through = (bench: BenchLink): Link => ({
    ...bench,
    onLines: (listener) =>
      bench.onLines((lines) =>
        listener(lines.map(({ text, ...line }) => ({ ...line, text: said(text) }))),
      ),
  })
  return { says, through }
}

/** A station whose bender is worked by hand, with a tube that is bent to 12° of the 20° that are wanted. */
function inMidBend(kind: SensorSpec['kind'] = 'incremental') {
  const { says, through } = doubtful()
  const rig = makeRig({ seed: 7, sensor: { kind }, throughLink: through })
  rigs.push(rig)
  const { station, clock } = rig
  let last: Samples | null = null
  station.subscribe((message) => {
    if (message.type === 'samples') last = message
  })
  const angleDeg = () => last?.angleDeg.at(-1) ?? Number.NaN
  station.start()
  station.bench({ mode: 'hand' })
  clock.advance(2)
  station.useSetup({
    station: 'Bench bender',
    die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
    tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-1' },
    sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
  })
  const job = { part: 'rail', piece: 1, bendNumber: 1, operator: 'N' }
  station.useJob({ ...job, wantedDeg: 20, toleranceDeg: 20 })
  clock.advance(5)
  station.act({ act: 'datum' })
  clock.advance(1)
  const work = (ram: 'advance' | 'retract', isThere: () => boolean) => {
    station.bench({ ram })
    for (let tick = 0; tick < 2000 && !isThere(); tick++) clock.advance(0.02)
    expect(isThere()).toBe(true)
    station.bench({ ram: 'hold' })
    clock.advance(1)
  }
  work('advance', () => angleDeg() > 12)
  return {
    ...rig,
    says,
    work,
    ids: () => station.state().notices.map(({ id }) => id),
    quality: () => last?.quality.at(-1),
    loseCounts() {
      says.flag = true
      says.sensorErrors += 3
      clock.advance(SHOWN_S)
      says.flag = false
      clock.advance(2)
    },
  }
}

describe('counts that are lost in mid-bend', () => {
  test('end it as incomplete; it teaches nothing, and is made again under its number', () => {
    const { station, history, loseCounts } = inMidBend()
    const { aim } = station.state()
    loseCounts()
    expect(history.bend(1)).toMatchObject({
      closedBy: 'counts lost',
      verdict: 'incomplete',
      releasedDeg: null,
      learned: 'no',
      notLearnedWhy: 'The bend was not finished.',
    })
    expect(history.bend(1)?.peakDeg).toBeGreaterThan(11)
    expect(station.state()).toMatchObject({ aim, phase: 'no-datum', job: { bendNumber: 1 } })
  })

  test('say so until zero is taken anew, and no angle is trusted until then', () => {
    const { station, clock, ids, quality, loseCounts } = inMidBend()
    expect(quality()).toBeLessThan(BAD)
    expect(ids()).toEqual([])
    loseCounts()
    const { notices } = station.state()
    expect(notices).toEqual([
      {
        id: 'origin',
        kind: 'task',
        text: 'Counts of the encoder were lost, so zero and every angle are in doubt.',
        hint: 'Seat the tube and set the datum again.',
      },
      expect.objectContaining({
        id: 'left-open',
        text: 'Bend 1 of rail, piece 1, is incomplete: counts of the encoder were lost.',
      }),
    ])
    expect(quality()).toBe(BAD)
    station.act({ act: 'datum' })
    clock.advance(3)
    expect(ids()).toEqual([])
    expect(quality()).toBeLessThan(BAD)
    expect(station.state().phase).toBe('seated')
  })

  test('are believed of the status alone, should the lines with the flag be lost', () => {
    const { clock, says, history, ids } = inMidBend()
    says.sensorErrors = 1
    clock.advance(2)
    expect(history.bend(1)).toMatchObject({ closedBy: 'counts lost', learned: 'no' })
    expect(ids()).toContain('origin')
  })

  test('put a bend that was measured already in doubt as well', () => {
    const { station, history, work, loseCounts } = inMidBend()
    work('retract', () => station.state().phase === 'settled')
    expect(station.state().result?.verdict).toBe('in')
    loseCounts()
    expect(history.bend(1)).toMatchObject({ verdict: 'incomplete', learned: 'no' })
    expect(history.bend(1)?.goes.at(-1)?.releasedDeg).toBeGreaterThan(8)
    expect(station.state().aim?.bendsLearned).toBe(0)
  })

  test('cannot be with an absolute encoder: the fault passes, the zero stands', () => {
    const { station, history, ids, quality, loseCounts } = inMidBend('absolute')
    loseCounts()
    expect(history.bend(1)).toBeNull()
    expect(ids()).toEqual([])
    expect(quality()).toBeLessThan(BAD)
    expect(station.state().phase).toBe('held')
  })
})
