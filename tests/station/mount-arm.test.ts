import { describe, expect, test } from 'vitest'
import type { Bend } from '../../server/messages/bends.ts'
import type { StationState } from '../../server/messages/live.ts'
import { until } from '../support/daemon.ts'
import { expectSameAgain, type MountRig, makeMountRig, PRESSURE } from '../support/mount-rig.ts'
import { skipWithout } from '../support/needs.ts'

const WITHIN_DEG = 0.1
/** Each new bite is read twice, where the arm left and where it takes hold, with an encoder's noise. */
const A_BITE_DEG = 0.05

const stateOf = ({ daemon }: MountRig) => daemon.get<StationState>('/api/station')

/** Waits until the tube is let off and nobody has accepted the bend yet: the operator takes a second or so. */
const letOff = (rig: MountRig) =>
  until(
    () => stateOf(rig),
    ({ phase }) => phase === 'settled',
    { seconds: 60, what: 'a tube that is let off' },
  )

describe.skipIf(skipWithout('socat'))('an encoder on the arm over a real tty', () => {
  test('knows the peak, and says that it does not know where the tube stands', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { mount: 'arm' },
      mount: 'arm',
      stopDeg: 18,
    })
    const settled = await letOff(rig)
    expect(settled.result).toMatchObject({
      verdict: 'incomplete',
      errorDeg: null,
      againDeg: null,
      go: { releasedDeg: null, releasedFrom: 'unknown' },
    })
    const [bend, truth] = await Promise.all([rig.bend(1), rig.truth(1)])
    expect(Math.abs((bend.peakDeg ?? 0) - truth.peakDeg)).toBeLessThan(WITHIN_DEG)
    expect(bend).toMatchObject({
      releasedDeg: null,
      releasedSeDeg: null,
      springbackDeg: null,
      releasedFrom: 'unknown',
      verdict: 'incomplete',
      closedBy: 'accepted',
      learned: 'no',
      notLearnedWhy:
        'Where the tube stood is not known: the arm had left it, and no angle was checked.',
    })
    const { aim, job } = await stateOf(rig)
    expect(aim?.bendsLearned).toBe(0)
    expect(job?.bendNumber).toBe(2)
    await expectSameAgain(rig, bend)
  })

  test('is judged and teaches from an angle that was checked', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { mount: 'arm' },
      mount: 'arm',
      stopDeg: 18,
    })
    await letOff(rig)
    const wrong = await rig.daemon.send('POST', '/api/station/act', {
      act: 'check',
      checkedDeg: 40,
    })
    expect(wrong.status).toBe(400)
    const { releasedDeg } = await rig.truth(1)
    const checkedDeg = Math.round(releasedDeg * 10) / 10
    const { status } = await rig.daemon.send('POST', '/api/station/act', {
      act: 'check',
      checkedDeg,
    })
    expect(status).toBe(200)
    const bend = await rig.bend(1)
    expect(bend).toMatchObject({
      checkedDeg,
      releasedDeg: checkedDeg,
      releasedSeDeg: null,
      releasedFrom: 'checked',
      verdict: 'in',
      learned: 'yes',
    })
    expect((await stateOf(rig)).aim?.bendsLearned).toBe(1)
    await expectSameAgain(rig, bend)
  })

  test('knows where the tube stands from the pressure that falls to nothing', async (context) => {
    const rig = await makeMountRig(context, {
      sensor: { mount: 'arm', second: PRESSURE },
      mount: 'arm',
      pressure: true,
      stopDeg: 18,
    })
    const [bend, truth] = await Promise.all([rig.bend(1), rig.truth(1)])
    expectLike(bend, truth, WITHIN_DEG)
    expect(bend).toMatchObject({
      releasedFrom: 'pressure',
      verdict: 'in',
      learned: 'yes',
      chainRevision: 'arm-encoder-pressure r1',
    })
    expect(bend.releasedSeDeg).toBeGreaterThan(0)
    await expectSameAgain(rig, bend)
  })

  test.for([
    ['by its way alone', null],
    ['by pressure', PRESSURE],
  ] as const)('joins its strokes %s', async ([_, second], context) => {
    const rig = await makeMountRig(context, {
      sensor: {
        mount: 'arm',
        arm: { biteDeg: 20, backlashDeg: 1.4 },
        ...(second && { second }),
      },
      mount: 'ratchet-arm',
      pressure: second !== null,
      stopDeg: 40,
    })
    const [bend, truth] = await Promise.all([rig.bend(1), rig.truth(1)])
    expect(bend.goes.map(({ strokes }) => strokes)).toEqual([2])
    expect(Math.abs((bend.peakDeg ?? 0) - truth.peakDeg)).toBeLessThan(WITHIN_DEG + A_BITE_DEG)
    if (second) expectLike(bend, truth, WITHIN_DEG + A_BITE_DEG)
    else expect(bend.releasedFrom).toBe('unknown')
    await expectSameAgain(rig, bend)
  })
})

function expectLike(
  bend: Bend,
  truth: { peakDeg: number; releasedDeg: number },
  withinDeg: number,
): void {
  expect(Math.abs((bend.peakDeg ?? 0) - truth.peakDeg)).toBeLessThan(withinDeg)
  expect(Math.abs((bend.releasedDeg ?? 0) - truth.releasedDeg)).toBeLessThan(withinDeg)
}
