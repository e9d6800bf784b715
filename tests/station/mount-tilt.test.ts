import { describe, expect, test } from 'vitest'
import type { Refusal } from '../../server/messages/commands.ts'
import type { StationState } from '../../server/messages/live.ts'
import type { Setup } from '../../server/messages/setup.ts'
import { until } from '../support/daemon.ts'
import { expectSameAgain, makeMountRig, SENSOR } from '../support/mount-rig.ts'
import { skipWithout } from '../support/needs.ts'

/** A tenth of a degree, for an encoder and an inclinometer alike. */
const WITHIN_DEG = 0.1
/** The bench's sensor is stuck on 7° from upright. */
const UPRIGHT_SEED = 4

describe.skipIf(skipWithout('socat'))('an inclinometer over a real tty', () => {
  test.for([
    ['in the plane of the swing', 'swing-tilt', 'swing-tilt r1'],
    ['on the free leg of the tube', 'leg-tilt', 'leg-tilt r1'],
  ] as const)(
    '%s records what was bent, the same each time',
    async ([_, mount, chain], context) => {
      const rig = await makeMountRig(context, { sensor: { mount }, mount, stopDeg: 18, seed: 2 })
      const [bend, truth] = await Promise.all([rig.bend(1), rig.truth(1)])
      expect(Math.abs((bend.peakDeg ?? 0) - truth.peakDeg)).toBeLessThan(WITHIN_DEG)
      expect(Math.abs((bend.releasedDeg ?? 0) - truth.releasedDeg)).toBeLessThan(WITHIN_DEG)
      expect(bend).toMatchObject({ closedBy: 'accepted', verdict: 'in', chainRevision: chain })
      expect(bend.releasedFrom).toBeUndefined()
      await expectSameAgain(rig, bend)
    },
  )

  test('on the arm knows the peak, and says that it does not know where the tube stands', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { mount: 'swing-tilt', tiltOn: 'arm' },
      ...{ mount: 'arm-tilt', stopDeg: 18, seed: 2 },
    })
    const [bend, truth] = await Promise.all([rig.bend(1), rig.truth(1)])
    expect(Math.abs((bend.peakDeg ?? 0) - truth.peakDeg)).toBeLessThan(WITHIN_DEG)
    expect(bend).toMatchObject({
      ...{ releasedDeg: null, springbackDeg: null, releasedFrom: 'unknown', learned: 'no' },
      ...{ closedBy: 'accepted', verdict: 'incomplete', chainRevision: 'swing-tilt-arm r1' },
    })
    await expectSameAgain(rig, bend)
  })

  test('is refused where no axis of the plane feels gravity, and for an encoder', async (context) => {
    const { daemon } = await makeMountRig(context, {
      sensor: { mount: 'swing-tilt' },
      mount: 'swing-tilt',
      stopDeg: 18,
      seed: UPRIGHT_SEED,
    })
    const { setup } = await until(
      () => daemon.get<StationState>('/api/station'),
      ({ link }) => link.state === 'live' && link.counters.samples > 50,
      { seconds: 30, what: 'readings' },
    )
    const put = async (sensor: Setup['sensor']) => {
      const { status, body } = await daemon.send('PUT', '/api/station/setup', {
        ...setup?.setup,
        sensor,
      })
      return { status, sentence: (body as Partial<Refusal>).sentence ?? '' }
    }
    const tilt = { ...SENSOR, mount: 'swing-tilt' } as const
    const stated = await put({ ...tilt, spindleDeg: 80 })
    expect(stated.status).toBe(400)
    expect(stated.sentence).toContain('only 0.17 g of gravity lies in the plane of the swing')
    // The bench's sensor has its axis y along the spindle, where there is no gravity.
    const read = await put({ ...tilt, axes: { sine: '+x', cosine: '+y' } })
    expect(read.status).toBe(400)
    expect(read.sentence).toMatch(/^The board shows x .* only 0\.\d\d g of gravity/)
    expect((await put(SENSOR)).sentence).toContain('has an accelerometer')
    const after = await daemon.get<StationState>('/api/station')
    expect(after.setup).toEqual(setup)
    expect((await put({ ...tilt, spindleDeg: 20 })).status).toBe(200)
  })
})
