import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import type { History, PlaceQuery } from '../../../../server/history/history.ts'
import { makePlaceBends } from '../../../../server/history/place-bends.ts'
import { migrate } from '../../../../server/history/schema.ts'
import type { Bend, NewBend } from '../../../../server/messages/bends.ts'
import { makeFakeHistory } from '../../../support/fake-history.ts'
import { makeFolder, newBend, openShop, rawOf, SETUP } from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

const BENDS = 60
const { dir, remove } = makeFolder()
const OTHER = { ...SETUP, tube: { ...SETUP.tube, lot: 'L-2' } }
const SAME_PLACE = { ...SETUP, sensor: { ...SETUP.sensor, countsPerTurn: 4096 } }
let history: History
let all: Bend[]

/** Bends of three set-ups in turn; some do not teach, some were real. */
function bendOf(n: number): NewBend {
  const { tube, ...setup } = [SETUP, OTHER, SAME_PLACE][n % 3]!
  const readout = {
    ...{ standing: 'good' as const, calibration: null, check: null, why: null },
    releasedExpandedDeg: n / 1000,
  }
  return newBend(n, {
    ...{ setupId: 1 + (n % 3), setup, tube, simulated: n % 5 !== 0 },
    ...(n % 7 === 0 ? { learned: 'no', notLearnedWhy: 'It slipped.' } : {}),
    ...(n % 4 === 0 ? { prediction: null } : { readout }),
  })
}

beforeAll(() => {
  history = openShop(dir)
  history.addSetup(OTHER)
  history.addSetup(SAME_PLACE)
  all = Array.from({ length: BENDS }, (_, k) => history.append(bendOf(k + 1), rawOf(k + 1)))
})
afterAll(() => {
  history.close()
  remove()
})

const PLACE: PlaceQuery = {
  ...{ lot: 'L-1', setupIds: [1, 3], simulated: true },
  ...{ firstBend: 1, lastBend: BENDS },
}

/** What it must be, by the plainest means. */
const expected = ({ lot, setupIds, simulated, firstBend, lastBend }: PlaceQuery, newest: number) =>
  all
    .filter((bend) => bend.lot === lot && setupIds.includes(bend.setupId))
    .filter((bend) => bend.learned === 'yes' && bend.simulated === simulated)
    .filter(({ id }) => id >= firstBend && id <= lastBend)
    .slice(-newest)
    .map(({ id, setupId, wantedDeg, commandedDeg, peakDeg, releasedDeg, ...bend }) => ({
      ...{ id, setupId, simulated, wantedDeg, commandedDeg, peakDeg, releasedDeg },
      springbackDeg: bend.springbackDeg,
      expectedDeg: bend.prediction?.springbackDeg ?? null,
      releasedExpandedDeg: bend.readout?.releasedExpandedDeg ?? null,
    }))

describe('the lessons of one place', () => {
  test.each<[string, Partial<PlaceQuery>, number]>([
    ['of both its set-ups', {}, 500],
    ['of one set-up alone', { setupIds: [3] }, 500],
    ['of real tube', { simulated: false }, 500],
    ['of another lot', { lot: 'L-2', setupIds: [2] }, 500],
    ['the newest only', {}, 4],
    ['between two numbers', { firstBend: 10, lastBend: 30 }, 500],
    ['of no set-up', { setupIds: [] }, 500],
    ['of a lot that is none', { lot: "L-1' OR 1=1 --" }, 500],
  ])('%s', (_, change, newest) => {
    const place = { ...PLACE, ...change }
    const found = history.placeBends(place, newest)
    expect(found).toEqual(expected(place, newest))
    if (!(_.includes('no ') || _.includes('none'))) expect(found.length).toBeGreaterThan(3)
  })

  test('are the same from the history in an array', () => {
    const fake = makeFakeHistory()
    for (let n = 1; n <= BENDS; n++) fake.append(bendOf(n), rawOf(n))
    expect(fake.placeBends(PLACE, 9)).toEqual(history.placeBends(PLACE, 9))
  })
})

test('are found by their lot, and nothing is sorted', () => {
  const db = new Database(':memory:')
  migrate(db)
  const asked: string[] = []
  const prepare = (sql: string) => {
    asked.push(sql)
    return db.prepare(sql)
  }
  makePlaceBends({ prepare } as unknown as typeof db)
  const plan = db
    .prepare<unknown[], { detail: string }>(`EXPLAIN QUERY PLAN ${asked[0]}`)
    .all('l', 1, 9, '[1]', 1, 9)
    .map(({ detail }) => detail)
    .join('; ')
  expect(plan).toContain('USING INDEX bend_by_lot (lot=? AND id>? AND id<?)')
  expect(plan).not.toMatch(/SCAN bend\b/)
  db.close()
})
