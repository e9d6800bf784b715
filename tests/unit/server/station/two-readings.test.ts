import { describe, expect, test } from 'vitest'
import { runDemo } from '../../../../server/demo.ts'
import type { NewBend } from '../../../../server/messages/bends.ts'
import { aimShown, firstAim } from '../../../../server/station/coach.ts'
import { makeLead } from '../../../../server/station/lead.ts'
import { makeShop } from '../../../../server/station/shop.ts'
import { lessonOf, makeTwoReadings } from '../../../../server/station/two-readings.ts'
import { makeRig } from '../../../support/station-rig.ts'
import { newBend } from '../history/shop.ts'

const lesson = (checkedDeg: number, change = {}) => ({
  peakDeg: 93,
  springbackDeg: 3,
  checked: { checkedDeg, byHandAlone: false, expandedDeg: 0.2, calibration: null, ...change },
})

function readAll(lessons: readonly ReturnType<typeof lesson>[]) {
  const readings = makeTwoReadings()
  const told = lessons.map((one) => readings.read('Left', one))
  return { told, gap: (calibration: number | null = null) => readings.gapAt('Left', calibration) }
}

describe('two readings of one angle', () => {
  test('weigh as 1/u² once three pairs show that they agree', () => {
    const { told, gap } = readAll([lesson(90.1), lesson(89.9), lesson(90.1)])
    expect(told.map(({ springbackDeg }) => springbackDeg).slice(0, 2)).toEqual([3, 3])
    // 0.05° of the readout's springback, 0.2° of the finder: weights of 400 and 25.
    expect(told[2]?.springbackDeg).toBeCloseTo(3 - (0.1 * 25) / 425, 9)
    expect(gap().persistent).toBe(false)
  })
  test('a readout that is off by its own calibration teaches no worse for being checked', () => {
    // 0.15° too much at peak and released angle alike, within its budget of 0.25°; the finder errs 0.2° either way.
    const finderDeg = [0.2, -0.2, 0.1, -0.1, 0.2, -0.2]
    const lessons = finderDeg.map((offDeg) => lesson(89.85 + offDeg, { expandedDeg: 0.5 }))
    const { told, gap } = readAll(lessons)
    expect(gap().persistent).toBe(false)
    for (const { springbackDeg } of told) expect(Math.abs(springbackDeg - 3)).toBeLessThan(0.03)
  })
  test('a persistent gap is the readout’s, and no springback', () => {
    const { told, gap } = readAll([lesson(89.6), lesson(89.6), lesson(89.6), lesson(89.6)])
    for (const { springbackDeg } of told) expect(springbackDeg).toBeCloseTo(3, 9)
    expect(gap().sentence).toMatch(
      /shows 0\.4° more than the angle finder.*reference piece, the finder against a known angle\.$/,
    )
  })
  test('another calibration begins the comparison anew', () => {
    const off = [lesson(89.6), lesson(89.6), lesson(89.6)]
    const { gap } = readAll([...off, lesson(90, { calibration: 7 })])
    expect([gap(null).pairs, gap(7).pairs]).toEqual([0, 1])
    expect(gap(7).sentence).toBeNull()
  })
  test('read by hand alone, the angle finder’s own uncertainty goes along', () => {
    const { told, gap } = readAll([lesson(90, { byHandAlone: true })])
    expect(told[0]).toEqual({ springbackDeg: 3, standardDeg: 0.2 })
    expect(gap().pairs).toBe(0)
  })
  test('a bend that may not teach is no lesson', () => {
    const learned = { ...newBend(1), learned: 'yes', peakDeg: 93, springbackDeg: 3 } as const
    expect(lessonOf(learned, 4)).toMatchObject({ id: 4, peakDeg: 93, springbackDeg: 3 })
    expect(lessonOf({ ...learned, learned: 'no' }, 4)).toBeNull()
    expect(lessonOf({ ...learned, peakDeg: null }, 4)).toBeNull()
  })
})

const BENDS = 4

/** Bends of the demo, each put to an angle finder from which the readout departs by so much; null: none is. */
function checkedBends(gapDeg: number | null) {
  const rig = makeRig({ seed: 3 })
  const { station, clock } = rig
  const made: NewBend[] = []
  station.onRecorded((bend) => made.push(bend))
  station.start()
  runDemo(station)
  for (let tick = 0; tick < 20_000 && made.length < BENDS; tick++) {
    clock.advance(0.05)
    const { phase, result } = station.state()
    const releasedDeg = result?.go.releasedDeg
    if (phase !== 'settled' || result?.bendId !== null || releasedDeg == null) continue
    if (gapDeg !== null) station.act({ act: 'check', checkedDeg: releasedDeg - gapDeg })
  }
  clock.advance(2)
  return { ...rig, made }
}

const gapNotice = ({ station }: ReturnType<typeof checkedBends>) =>
  station.state().notices.find(({ id }) => id === 'readout-gap')

describe('over a whole station', () => {
  test('readout 0.4° over the angle finder: it says so, and the springback stays; the same after a restart', async () => {
    const [gap, plain] = [checkedBends(0.4), checkedBends(null)]
    expect(gap.made.map(({ checkedDeg }) => checkedDeg)).not.toContain(null)
    expect(gapNotice(gap)?.text).toMatch(/0\.4° more than the angle finder/)
    expect(gapNotice(plain)).toBeUndefined()
    const allowed = [gap, plain].map(({ station }) => station.state().aim?.springbackDeg ?? 0)
    expect(Math.abs((allowed[0] ?? 0) - (allowed[1] ?? 9))).toBeLessThan(0.02)

    const { setup, job, aim } = gap.station.state()
    if (setup === null || job === null) throw new Error('the demo has a set-up and a job')
    const lead = makeLead(gap.history)
    lead.use({ operator: job.operator, station: setup.setup.station, simulated: true })
    const again = makeShop(gap.history)
    const rebuilt = firstAim(again.know(setup, true), job, lead.now().stopSdDeg)
    if (rebuilt.commandedDeg === null) throw new Error(rebuilt.why)
    expect(aimShown(rebuilt)).toEqual(aim)
    expect(again.gapSentence(setup.setup.station, null, true)).toBe(gapNotice(gap)?.text)
    await gap.close()
    await plain.close()
  })
})
