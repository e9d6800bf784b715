import { expect, test } from 'vitest'
import { runDemo } from '../../server/demo.ts'
import type { NewBend } from '../../server/messages/bends.ts'
import { makeRig } from '../support/station-rig.ts'

/** What a newcomer watches: over a dozen bends of the demo the tool grows sure of the tube. */
const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8]
const BENDS = 14
const LATE = 8

async function demoBends(seed: number): Promise<NewBend[]> {
  const rig = makeRig({ seed })
  const made: NewBend[] = []
  rig.station.onRecorded((bend) => made.push(bend))
  rig.station.start()
  runDemo(rig.station)
  for (let s = 0; s < 1200 && made.length < BENDS; s++) rig.clock.advance(1)
  await rig.close()
  return made
}

/** Of the tube alone: what sprang back otherwise than foreseen. How it was stopped is another thing. */
const tubeErrorDeg = ({ prediction, springbackDeg }: NewBend): number =>
  Math.abs((prediction?.springbackDeg ?? Number.NaN) - (springbackDeg ?? Number.NaN))

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

const widthDeg = ({ prediction }: NewBend): number =>
  (prediction?.highDeg ?? Number.NaN) - (prediction?.lowDeg ?? Number.NaN)

test(`over the first dozen bends of the demo it grows sure, and is right, seeds ${SEEDS.join(', ')}`, async () => {
  const shops: NewBend[][] = []
  for (const seed of SEEDS) shops.push(await demoBends(seed))
  for (const bends of shops) expect(bends.length).toBe(BENDS)
  // The bench's tube is one that the mechanics foretells well; a newcomer sees the interval tighten.
  const firsts = shops.map(([bend]) => bend as NewBend)
  const late = shops.flatMap((bends) => bends.slice(LATE))
  expect(mean(late.map(widthDeg))).toBeLessThan(mean(firsts.map(widthDeg)) / 2)
  expect(mean(late.map(tubeErrorDeg))).toBeLessThan(0.06)
  const within = late.filter((bend) => tubeErrorDeg(bend) <= widthDeg(bend) / 2)
  expect(within.length / late.length).toBeGreaterThan(0.9)
})
