import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import { recordOrphans } from '../../../../server/commands/serve-stations.ts'
import { runDemo } from '../../../../server/demo.ts'
import { historyAt } from '../../../../server/history/at-station.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { makeBenchLink } from '../../../../server/link/bench-link.ts'
import { SHIPPED } from '../../../../server/own-blocks/catalogue.ts'
import { makeShared } from '../../../../server/station/shared.ts'
import { makeShop } from '../../../../server/station/shop.ts'
import { Station } from '../../../../server/station.ts'
import { makeSimulatedClock } from '../../../support/simulated-clock.ts'

const PLACES = [
  { key: 'left-bender', name: 'Left bender' },
  { key: 'right-bender', name: 'Right bender' },
] as const

function makeTwo(folder: string) {
  const clock = makeSimulatedClock()
  const history = openHistory(folder)
  const shared = makeShared(history)
  const benders = PLACES.map((place, at) => {
    const bench = makeBenchLink({ seed: at + 1, clock })
    const door = {
      act: bench.act,
      state: () => bench.benchState(),
      show: bench.show,
      useLot: bench.useLot,
    }
    const view = historyAt(history, place)
    const parts = { clock, link: bench, history: view, bench: door, software: 'test' }
    const station = new Station({ ...parts, catalogue: SHIPPED, place, shared })
    station.start()
    runDemo(station, null, { name: place.name, place: at })
    return station
  })
  const [left, right] = benders as [Station, Station]
  return { clock, history, shared, left, right, benders }
}

function makeFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-shared-'))
  onTestFinished(() => rmSync(folder, { recursive: true }))
  return folder
}

test('two benders record in one history and teach one another as a history read anew would', async () => {
  const { clock, history, shared, left, right, benders } = makeTwo(makeFolder())
  clock.advance(150)
  const { bends } = history.page({ limit: 100 })
  const stations = new Set(bends.map(({ id }) => history.bend(id)?.setup.station))
  expect(stations).toEqual(new Set(['Left bender', 'Right bender']))
  for (const station of benders) {
    const { setup } = station.state()
    if (setup === null) throw new Error('the demo has a set-up')
    const known = shared.shop.know(setup, true)
    expect(known).toEqual(makeShop(history).know(setup, true))
    // The lot's bends are those of both benders, the set-up's its own.
    expect(known.lotBends).toBeGreaterThan(known.bendsMade)
  }
  const { setup } = right.state()
  if (setup === null) throw new Error('the demo has a set-up')
  expect(() => left.useSetup(setup.setup)).toThrow(/must be "Left bender"/)
  for (const station of benders) await station.stop()
  history.close()
})

test('bends open at both when the power goes are both on record at the next start', async () => {
  const folder = makeFolder()
  const before = makeTwo(folder)
  for (let s = 0; s < 600 && before.history.leftOpenAt().length < 2; s++) before.clock.advance(0.5)
  expect(before.history.leftOpenAt()).toEqual(['left-bender', 'right-bender'])
  const done = before.history.count()
  // Nothing of the first run has its turn any more.
  before.history.close()
  const history = openHistory(folder)
  const shared = makeShared(history)
  const [place] = PLACES
  const clock = makeSimulatedClock()
  const link = makeBenchLink({ seed: 1, clock })
  recordOrphans(history, clock, [place.key])
  const view = historyAt(history, place)
  const parts = { clock, link, history: view, bench: null, software: 'test', place, shared }
  const station = new Station({ ...parts, catalogue: SHIPPED })
  station.start()
  expect(history.leftOpenAt()).toEqual([])
  const last = [history.bend(done + 1), history.bend(done + 2)]
  expect(last.map((bend) => [bend?.setup.station, bend?.verdict, bend?.closedBy])).toEqual([
    ['Right bender', 'incomplete', 'restart'],
    ['Left bender', 'incomplete', 'restart'],
  ])
  await station.stop()
  history.close()
})
