import { afterAll, beforeAll, expect, test } from 'vitest'
import { sharesOf } from '../../dashboard/pages/history/share-words.ts'
import { errorShares } from '../../server/bend/error-shares.ts'
import type { History } from '../../server/history/history.ts'
import type { Bend, NewBend } from '../../server/messages/bends.ts'
import type { BendReadout } from '../../server/messages/readout.ts'
import { makeWeb } from '../support/web.ts'
import { makeFolder, newAct, newBend, openShop, rawOf } from '../unit/server/history/shop.ts'

const BENDS = 40

const CALIBRATION = { number: 1, at: '2026-01-05T06:30:00.000Z', hash: 'c'.repeat(64) }

const readoutWith = (
  releasedExpandedDeg: number | null,
  calibration: BendReadout['calibration'] = CALIBRATION,
): BendReadout => ({
  ...{ calibration, check: null, standing: 'good', why: null, releasedExpandedDeg },
})

/** Bends of every kind that the shares tell apart, no two alike. */
function bendOf(n: number): NewBend {
  const peakDeg = 93 + ((n * 37) % 23) / 20
  const springbackDeg = 3 + ((n * 13) % 17) / 20
  const whole = newBend(n, {
    ...{ peakDeg, springbackDeg, releasedDeg: peakDeg - springbackDeg },
    readout: readoutWith(0.1 + n / 1000),
  })
  if (n % 10 === 1) return { ...whole, prediction: null }
  if (n % 10 === 2) return { ...whole, commandedDeg: null }
  if (n % 10 === 3)
    return { ...whole, releasedDeg: null, springbackDeg: null, verdict: 'incomplete' }
  if (n % 10 === 4) return { ...whole, releasedFrom: 'checked', checkedDeg: whole.releasedDeg }
  if (n % 10 === 5) return { ...whole, readout: readoutWith(null) }
  if (n % 10 === 7) return { ...whole, readout: readoutWith(0.1, null) }
  return whole
}

let history: History
const { dir, remove } = makeFolder()
beforeAll(() => {
  history = openShop(dir)
  for (let n = 1; n <= BENDS; n += 1) history.append(bendOf(n), rawOf(n))
  const { decision: _, ...common } = newAct()
  history.addAct({ ...common, kind: 'void', bendId: 6 })
})
afterAll(() => {
  history.close()
  remove()
})

const mean = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / values.length

test('the charts share errors as the record of each bend does', async () => {
  const { app } = makeWeb({ wrap: (station) => ({ ...station, history }) })
  const { causes, readout, error } = (await app.inject('/api/bends/charts')).json()

  const counted = Array.from({ length: BENDS }, (_, i) => history.bend(i + 1))
    .filter((bend): bend is Bend => bend !== null && bend.releasedDeg !== null)
    .filter(({ id }) => !history.voided().includes(id))
  expect(counted.length).toBe(BENDS - 5)
  expect(error.n).toBe(counted.length)

  const shares = counted.flatMap((bend) => {
    const own = errorShares({ ...bend, expectedDeg: bend.prediction?.springbackDeg ?? null })
    return own === null ? [] : [{ ...own, offDeg: (bend.releasedDeg ?? 0) - bend.wantedDeg }]
  })
  expect(shares.length).toBe(counted.length - 8)
  for (const { stopDeg, tubeDeg, aimDeg, offDeg } of shares)
    expect(stopDeg + tubeDeg + aimDeg).toBeCloseTo(offDeg, 9)
  const sizes = (['stopDeg', 'tubeDeg', 'aimDeg'] as const).map((field) => ({
    meanDeg: mean(shares.map((own) => own[field])),
    size: mean(shares.map((own) => Math.abs(own[field]))),
  }))
  const all = sizes.reduce((sum, { size }) => sum + size, 0)
  // Kept in single precision: good to 0.00001 degrees.
  expect(causes).toMatchObject(
    (['stop', 'tube', 'aim'] as const).map((cause, i) => ({
      ...{ cause, n: shares.length },
      meanDeg: expect.closeTo(sizes[i]?.meanDeg ?? Number.NaN, 5),
      part: expect.closeTo((sizes[i]?.size ?? Number.NaN) / all, 5),
    })),
  )

  const trusted = counted.filter((bend) => sharesOf({ ...bend, checkedDeg: null }).includes('±'))
  expect(trusted.length).toBe(counted.length - 8 - 12)
  const inCharts = counted.filter(
    ({ releasedFrom, readout: own }) =>
      releasedFrom !== 'checked' && own?.calibration != null && own.releasedExpandedDeg != null,
  )
  expect(readout).toEqual({
    n: inCharts.length,
    meanExpandedDeg: expect.closeTo(
      mean(inCharts.map(({ readout: own }) => own?.releasedExpandedDeg ?? Number.NaN)),
      5,
    ),
  })
  expect(inCharts.length).toBe(counted.length - 12)
  const names = new Set(inCharts.map(({ id }) => id))
  expect(trusted.every(({ id }) => names.has(id))).toBe(true)
})
