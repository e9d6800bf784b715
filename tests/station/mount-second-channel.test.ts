import { describe, expect, test } from 'vitest'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import { until } from '../support/daemon.ts'
import { expectSameAgain, makeMountRig, PRESSURE } from '../support/mount-rig.ts'
import { skipWithout } from '../support/needs.ts'

const WITHIN_DEG = 0.1
/** Zero by itself comes from a line through a few readings while the die moves. */
const ZERO_WITHIN_DEG = 0.1

const SWITCH = { kind: 'switch', closedWhen: 'not-zero' } as const
/** A switch closes and opens with a few bar on it: the tube is bent by so much then, and not free yet. */
const SWITCHES_WITHIN_DEG = 0.1

describe.skipIf(skipWithout('socat'))('a switch on the second channel over a real tty', () => {
  test.for([
    ['die', 'die-encoder-switch-auto r1', undefined],
    ['arm', 'arm-encoder-switch-auto r1', 'switch'],
  ] as const)(
    'takes zero by itself where the tube bears: %s',
    async ([mount, chain, from], context) => {
      const rig = await makeMountRig(context, {
        sensor: { mount, second: SWITCH, autoDatum: true },
        ...{ mount, switch: true, pedal: false, stopDeg: 18 },
      })
      const state = () => rig.daemon.get<StationState>('/api/station')
      await until(state, ({ phase }) => phase === 'settled', {
        seconds: 60,
        what: 'a settled bend',
      })
      const truth = await rig.truth(1)
      expect((await rig.daemon.send('POST', '/api/station/act', { act: 'accept' })).status).toBe(
        200,
      )
      const bend = await rig.bend(1)
      const within = WITHIN_DEG + ZERO_WITHIN_DEG + SWITCHES_WITHIN_DEG
      expect(Math.abs((bend.peakDeg ?? 0) - (truth.peakDeg - truth.bearingDeg))).toBeLessThan(
        within,
      )
      const releasedDeg = truth.releasedDeg - truth.bearingDeg
      expect(Math.abs((bend.releasedDeg ?? 0) - releasedDeg)).toBeLessThan(within)
      expect(bend).toMatchObject({ verdict: 'in', hits: 1, chainRevision: chain })
      expect(bend.releasedFrom).toBe(from)
      await expectSameAgain(rig, bend)
    },
  )

  test('on the arm tells when the tube is let off, and where it stands', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { mount: 'arm', second: SWITCH },
      ...{ mount: 'arm', switch: true, stopDeg: 18 },
    })
    const [bend, truth] = await Promise.all([rig.bend(1), rig.truth(1)])
    expect(Math.abs((bend.peakDeg ?? 0) - truth.peakDeg)).toBeLessThan(WITHIN_DEG)
    const offDeg = Math.abs((bend.releasedDeg ?? 0) - truth.releasedDeg)
    expect(offDeg).toBeLessThan(WITHIN_DEG + SWITCHES_WITHIN_DEG)
    expect(bend).toMatchObject({
      ...{ releasedFrom: 'switch', verdict: 'in', learned: 'yes' },
      chainRevision: 'arm-encoder-switch r1',
    })
    expect(bend.releasedSeDeg).toBeGreaterThan(0)
    await expectSameAgain(rig, bend)
  })

  test('that is named the wrong way round makes up no released angle', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { mount: 'arm', second: { kind: 'switch', closedWhen: 'zero' } },
      ...{ mount: 'arm', switch: true, stopDeg: 18 },
    })
    // It opens where the tube begins to bear: no tube stands there.
    const [bend] = await Promise.all([rig.bend(1), rig.truth(1)])
    expect(bend).toMatchObject({ releasedDeg: null, releasedFrom: 'unknown', learned: 'no' })
  })
})

describe.skipIf(skipWithout('socat'))('a pressure on the second channel over a real tty', () => {
  test('beside an encoder on the die changes nothing of what is measured', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { second: PRESSURE },
      mount: 'die',
      pressure: true,
      stopDeg: 18,
    })
    const [bend, truth] = await Promise.all([rig.bend(1), rig.truth(1)])
    expect(Math.abs((bend.peakDeg ?? 0) - truth.peakDeg)).toBeLessThan(WITHIN_DEG)
    expect(Math.abs((bend.releasedDeg ?? 0) - truth.releasedDeg)).toBeLessThan(WITHIN_DEG)
    expect(bend).toMatchObject({ verdict: 'in', chainRevision: 'die-encoder-pressure r1' })
    await expectSameAgain(rig, bend)
  })

  test.for([
    ['die', 'die-encoder-pressure-auto r1'],
    ['arm', 'arm-encoder-pressure-auto r1'],
  ] as const)('takes zero by itself where the tube bears: %s', async ([mount, chain], context) => {
    const rig = await makeMountRig(context, {
      sensor: { mount, second: PRESSURE, autoDatum: true },
      mount,
      pressure: true,
      pedal: false,
      stopDeg: 18,
    })
    const state = () => rig.daemon.get<StationState>('/api/station')
    await until(state, ({ phase }) => phase === 'settled', { seconds: 60, what: 'a settled bend' })
    const truth = await rig.truth(1)
    expect((await rig.daemon.send('POST', '/api/station/act', { act: 'accept' })).status).toBe(200)
    const bend = await rig.bend(1)
    const within = WITHIN_DEG + ZERO_WITHIN_DEG
    const peakDeg = truth.peakDeg - truth.bearingDeg
    const releasedDeg = truth.releasedDeg - truth.bearingDeg
    expect(Math.abs((bend.peakDeg ?? 0) - peakDeg)).toBeLessThan(within)
    expect(Math.abs((bend.releasedDeg ?? 0) - releasedDeg)).toBeLessThan(within)
    expect(bend).toMatchObject({ verdict: 'in', hits: 1, chainRevision: chain })
    await expectSameAgain(rig, bend)
  })

  test('takes no zero unless it was asked to', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { second: PRESSURE },
      mount: 'die',
      pressure: true,
      pedal: false,
      stopDeg: 18,
    })
    await rig.truth(1)
    const state = await rig.daemon.get<StationState>('/api/station')
    expect(state).toMatchObject({ phase: 'no-datum', datumS: null })
    expect((await rig.daemon.get<BendPage>('/api/bends?limit=5')).total).toBe(0)
  })
})
