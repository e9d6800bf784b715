import { expect, test } from 'vitest'
import { makeRandom } from '../../firmware-protocol/bench/random.ts'
import type { BendTruth } from '../../firmware-protocol/bench/workshop.ts'
import { catalogue } from '../../server/blocks/index.ts'
import { runDemo } from '../../server/demo.ts'
import type { NewBend } from '../../server/messages/bends.ts'
import { aimShown, firstAim } from '../../server/station/coach.ts'
import { makeLead } from '../../server/station/lead.ts'
import { newBend } from '../../server/station/record.ts'
import { rerun } from '../../server/station/rerun.ts'
import { makeShop } from '../../server/station/shop.ts'
import {
  type FailingHistory,
  makeFailingHistory,
  makeNoisyLink,
  type NoisyLink,
} from '../support/faults.ts'
import { makeRig } from '../support/station-rig.ts'

/**
 * Days of a shop, faster than time: a seeded bench, a bad cable, a plug that is pulled, a disk that fills up, a slow
 * one.
 * `OVERBEND_SHOP_DAYS` sets how many, `OVERBEND_SHOP_SEED` where to begin; a seed that once failed stays below.
 */
const DAYS = Number(process.env['OVERBEND_SHOP_DAYS'] ?? 12)
const FIRST_SEED = Number(process.env['OVERBEND_SHOP_SEED'] ?? 1)
const ONCE_FAILED: readonly number[] = []

/** A day of the simulation: two and a half minutes of bending, a bend about every twenty seconds. */
const DAY_S = 150
const STEP_S = 1
/** Peak and released against the model's truth: an encoder of 16,384 counts, its noise, and the cable's. */
const MEASURED_WITHIN_DEG = 0.1

interface Made {
  readonly bend: NewBend
  readonly truth: BendTruth | null
  readonly wasCut: boolean
}

async function day(seed: number) {
  const chance = makeRandom(seed, 'a day')
  const diskS = makeRandom(seed, 'the disk')
  // Every second day the disk is a bad card: a write takes up to half a second, and nothing goes on meanwhile.
  const slowestS = seed % 2 === 0 ? 0.5 : 0.005
  let link: NoisyLink | undefined
  let disk: FailingHistory | undefined
  const rig = makeRig({
    seed,
    throughLink: (bench) => (link = makeNoisyLink(bench, seed)),
    throughHistory: (history) =>
      (disk = makeFailingHistory(history, () => rig.clock.stall(diskS.between(0, slowestS)))),
  })
  const made: Made[] = []
  let wasCut = false
  rig.station.onRecorded((bend) => {
    made.push({ bend, truth: rig.bench.truth(), wasCut })
    wasCut = false
  })
  rig.station.start()
  runDemo(rig.station)
  for (let s = 0; s < DAY_S; s += STEP_S) {
    const today = chance.between(0, 1)
    if (today < 0.004) link?.plug(false)
    if (link?.state().state === 'lost') wasCut = true
    if (today > 0.7) link?.plug(true)
    if (today > 0.3 && today < 0.305) disk?.full(true)
    if (today > 0.4 && today < 0.43) disk?.full(false)
    rig.clock.advance(STEP_S)
  }
  link?.plug(true)
  disk?.full(false)
  // Long enough for what waits to be tried again.
  rig.clock.advance(10)
  return { rig, made }
}

const seeds = [...ONCE_FAILED, ...Array.from({ length: DAYS }, (_, index) => FIRST_SEED + index)]

test.each(seeds)('seed %i: a day in the shop loses no bend and makes none up', async (seed) => {
  const { rig, made } = await day(seed)
  const { history, station } = rig
  const stored = history.page({ limit: 500 }).bends.toReversed()
  expect(made.length).toBeGreaterThan(3)
  expect(station.state().unsaved).toBe(0)
  expect(stored.map(({ startedAt, peakDeg }) => [startedAt, peakDeg])).toEqual(
    made.map(({ bend }) => [bend.startedAt, bend.peakDeg]),
  )
  expect(history.verify()).toMatchObject({ intact: true, records: made.length })

  const whole = made.filter(({ wasCut, bend }) => !wasCut && bend.verdict !== 'incomplete')
  for (const { bend, truth } of whole) {
    const at = `${bend.job.part} ${bend.job.piece}/${bend.job.bendNumber}`
    expect(Math.abs((bend.peakDeg ?? 0) - (truth?.peakDeg ?? 999)), at).toBeLessThan(
      MEASURED_WITHIN_DEG,
    )
    expect(Math.abs((bend.releasedDeg ?? 0) - (truth?.releasedDeg ?? 999)), at).toBeLessThan(
      MEASURED_WITHIN_DEG,
    )
  }

  // Deleting the model and building it again from the history gives the same digits.
  const { setup, job, aim, phase } = station.state()
  if (setup === null || job === null) throw new Error('the demo has a set-up and a job')
  const lead = makeLead(history)
  lead.use({ operator: job.operator, station: setup.setup.station, simulated: true })
  const known = makeShop(history).know(setup, true)
  const rebuilt = firstAim(known, job, lead.now().stopSdDeg)
  if (rebuilt.commandedDeg === null) throw new Error(rebuilt.why)
  if (phase !== 'settled' || station.state().result?.againDeg == null)
    expect(aim).toEqual(aimShown(rebuilt))
  expect(lead.now().stops).toBeGreaterThan(0)
  expect(station.state().leadS).toBe(lead.now().leadS)
  await rig.close()
})

test(`seed ${FIRST_SEED}: the stored lines of a bend give the same record again, bit for bit`, async () => {
  const { rig } = await day(FIRST_SEED)
  const { history } = rig
  let compared = 0
  for (const { id, startedAt } of history.page({ limit: 500 }).bends) {
    const bend = history.bend(id)
    const raw = history.raw(id)
    const setup = history.setups().find((stored) => stored.id === bend?.setupId)
    if (bend === null || raw === null || setup === undefined) throw new Error(`bend ${id} is gone`)
    const draft = (await rerun(raw, catalogue)).drafts.at(-1)
    if (draft === undefined) throw new Error(`the lines of bend ${id} close no bend`)
    // The model as it stood before: what the shop's bends up to this one had taught.
    const lessons = () => [...history.lessons()].filter((lesson) => lesson.id < id)
    const { model } = makeShop({ ...history, lessons }).know(setup, true)
    const again = newBend(draft, { ...bend, setup, model, readout: null }, () =>
      Date.parse(startedAt),
    )
    const { goes, datumDeg, verdict, prediction } = again
    expect({ id, goes, datumDeg, verdict, prediction }).toEqual({
      id,
      goes: bend.goes,
      datumDeg: bend.datumDeg,
      verdict: bend.verdict,
      prediction: bend.prediction,
    })
    compared++
  }
  expect(compared).toBeGreaterThan(3)
  await rig.close()
})
