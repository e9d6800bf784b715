import { afterEach, describe, expect, test } from 'vitest'
import type { Samples } from '../../../../server/messages/live.ts'
import type { Sensor } from '../../../../server/messages/sensor.ts'
import { wayNotices } from '../../../../server/station/readout-notices.ts'
import { makeRig } from '../../../support/station-rig.ts'

const rigs: { close(): Promise<void> }[] = []
afterEach(async () => {
  for (const rig of rigs.splice(0)) await rig.close()
})

const setupWith = (direction: Sensor['direction']) => ({
  station: 'Bench bender',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-1' },
  sensor: { mount: 'die', countsPerTurn: 0, direction } as const,
})

/** A bender that is worked by hand, with zero taken on a seated tube. */
function seated(direction: Sensor['direction']) {
  const rig = makeRig({ seed: 7 })
  rigs.push(rig)
  const { station, clock } = rig
  let last: Samples | null = null
  station.subscribe((message) => {
    if (message.type === 'samples') last = message
  })
  station.start()
  station.bench({ mode: 'hand' })
  clock.advance(2)
  station.useSetup(setupWith(direction))
  const job = { part: 'rail', piece: 1, bendNumber: 1, operator: 'N' }
  station.useJob({ ...job, wantedDeg: 20, toleranceDeg: 1 })
  clock.advance(5)
  station.act({ act: 'datum' })
  clock.advance(1)
  return {
    ...rig,
    bendBy(deg: number) {
      const angleDeg = () => Math.abs(last?.angleDeg.at(-1) ?? 0)
      station.bench({ ram: 'advance' })
      for (let tick = 0; tick < 2000 && angleDeg() < deg; tick++) clock.advance(0.02)
      expect(angleDeg()).toBeGreaterThanOrEqual(deg)
      station.bench({ ram: 'hold' })
      clock.advance(1)
    },
    ids: () => station.state().notices.map(({ id }) => id),
  }
}

describe('a sensor that is read the wrong way round', () => {
  test('is told of in one sentence as soon as a tube is bent, and nothing is recorded', () => {
    const { station, history, bendBy, ids } = seated('reversed')
    expect(ids()).toEqual([])
    bendBy(12)
    expect(station.state()).toMatchObject({
      phase: 'seated',
      notices: [
        {
          id: 'fallen',
          kind: 'doubt',
          text: 'The angle fell more than 5° below zero, and so it is taken for no bend.',
          hint: expect.stringMatching(/direction of the sensor.*Sensor page.*\.$/),
        },
      ],
    })
    expect(history.bend(1)).toBeNull()
  })

  test('turned round is right: the notice goes with its cause', () => {
    const { station, clock, bendBy, ids } = seated('reversed')
    bendBy(12)
    station.useSetup(setupWith('forward'))
    clock.advance(2)
    expect(ids()).toEqual([])
  })

  test('and one that is read the right way: nothing is said', () => {
    const { station, bendBy, ids } = seated('forward')
    bendBy(12)
    expect(station.state().phase).toBe('held')
    expect(ids()).toEqual([])
  })
})

test.each([
  ['seated', -5.1, true],
  ['seated', -4.9, false],
  ['seated', 30, false],
  ['seated', null, false],
  ['seated', Number.NaN, false],
  // The die goes home, or the tube was taken out.
  ['no-datum', -90, false],
  ['settled', -90, false],
  ['letting-off', -90, false],
] as const)('in phase %s at %s°: %s', (phase, angleDeg, isTold) => {
  expect(wayNotices(phase, angleDeg)).toHaveLength(isTold ? 1 : 0)
})
