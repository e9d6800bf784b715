import { describe, expect, test } from 'vitest'
import { errorShares } from '../../../../server/bend/error-shares.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { know } from '../../../../server/bend/shop-memory.ts'
import { coefficientsOf, priorFor, springbackAtDeg } from '../../../../server/bend/springback.ts'
import type { Job, Setup, StoredSetup } from '../../../../server/messages/setup.ts'
import { makeShop, placeOf } from '../../../../server/station/shop.ts'
import { makeSpringbackDoor } from '../../../../server/station/springback-door.ts'
import { makeFakeHistory } from '../../../support/fake-history.ts'
import { newAct, newBend, rawOf, SETUP } from '../history/shop.ts'

const lot = (name: string, change: Partial<Setup['tube']> = {}): Setup => ({
  ...SETUP,
  tube: { ...SETUP.tube, lot: name, ...change },
})

/** A shop in an array; `bend` records what a tube gave back, and how far off it stopped. */
function makeBender() {
  const history = makeFakeHistory()
  const now: { setup: StoredSetup | null; job: Job | null; simulated: boolean } = {
    ...{ setup: null, job: null, simulated: false },
  }
  const door = makeSpringbackDoor(history, () => ({
    setup: () => now.setup,
    job: () => now.job,
    taught: () => ({
      memory: makeShop(history).taught(now.simulated),
      simulated: now.simulated,
    }),
  }))
  function use(setup: Setup) {
    now.setup = history.addSetup(setup)
    return now.setup
  }
  function bend(peakDeg: number, springbackDeg: number, simulated = false) {
    const stored = now.setup
    if (stored === null) throw new Error('Nothing is set up.')
    const { tube, ...setup } = stored.setup
    const n = history.count() + 1
    const releasedDeg = peakDeg - springbackDeg
    const job = { ...newBend(n).job, wantedDeg: peakDeg - 3 }
    return history.append(
      newBend(n, {
        ...{ setupId: stored.id, setup, tube, simulated, peakDeg, springbackDeg, releasedDeg, job },
        ...{ wantedDeg: job.wantedDeg, commandedDeg: peakDeg - 0.1 },
      }),
      rawOf(n),
    )
  }
  return { history, now, door, use, bend }
}

const scatter = [0.03, -0.06, 0.05, -0.02, 0.04, -0.05]
function bendMany(bender: ReturnType<typeof makeBender>, count: number, moreDeg = 0) {
  for (let k = 0; k < count; k++) {
    const peakDeg = [40, 65, 93][k % 3] ?? 93
    bender.bend(peakDeg, 0.7 + 0.03 * peakDeg + moreDeg + (scatter[k % 6] ?? 0))
  }
}

describe('without a bend', () => {
  test('there is the prior alone, and what it rests on', () => {
    const { door, use } = makeBender()
    const stored = use(SETUP)
    const view = door.view()
    expect(view).toMatchObject({ setup: stored, isInUse: true, wantedDeg: 90, points: [] })
    expect(view.posterior).toEqual(view.prior)
    expect(view.sentences[0]).toMatch(/^No bend of this material counts yet\. .*mechanics alone/)
    const prior = priorFor({ ...SETUP.tube, clrMm: SETUP.die.clrMm }, materialOf('316l-annealed'))
    expect(view.law.slope).toBeCloseTo(coefficientsOf(prior).slope, 9)
    expect(view.law.predictedSlope).toBeCloseTo(view.law.slope, 9)
    expect(door.lots().rows).toEqual([])
  })

  test('of an angle that cannot be reached it says that, and not that the tube takes no set', () => {
    const { door, use, now } = makeBender()
    const { die } = SETUP
    const springy = { odMm: 12, wallMm: 1, material: 'ti-grade-9' }
    use({ ...lot('A', springy), die: { ...die, odMm: 12, clrMm: 340 } })
    expect(door.view()).toMatchObject({ expected: { loadedDeg: expect.any(Number) } })
    now.job = { ...newBend(1).job, wantedDeg: 200 }
    expect(door.view()).toMatchObject({
      expected: null,
      sentences: [expect.stringContaining('past 360°')],
    })
  })

  test('a lot is held against no lot of which no bend counts', () => {
    const { history, door, use, bend } = makeBender()
    use(lot('A1'))
    const { id } = bend(93, 3)
    use(lot('A2'))
    bend(93, 3.1)
    expect(door.view().sentences.join(' ')).toContain('the last, A1')
    history.addAct(newAct({ bendId: id, decision: 'taken-out' }))
    expect(door.view().sentences.join(' ')).not.toContain('the last')
  })

  test('there is nothing of no set-up, nor of one that is not there', () => {
    const { door } = makeBender()
    expect(() => door.view()).toThrow(expect.objectContaining({ code: 'no-setup' }))
    expect(() => door.view(4)).toThrow(expect.objectContaining({ code: 'no-such-setup' }))
  })

  test('a set-up of a metal that this version does not know is refused, the lots are not', () => {
    const { door, use } = makeBender()
    use(lot('A', { material: 'unobtainium' }))
    expect(() => door.view()).toThrow(
      expect.objectContaining({ code: 'bad-input', field: 'setup' }),
    )
    expect(door.lots().rows).toEqual([])
  })
})

describe('with bends', () => {
  const bender = makeBender()
  const { door, use, history } = bender
  const first = use(lot('A1'))
  bendMany(bender, 9)
  const second = use(lot('A2'))
  bendMany(bender, 9, 0.6)
  const slipped = bender.bend(65, 5.2)
  const view = door.view()

  test('each point is a record of that number', () => {
    expect(view.points.map(({ id }) => id)).toEqual([10, 11, 12, 13, 14, 15, 16, 17, 18, 19])
    for (const { id, loadedDeg, springbackDeg } of view.points) {
      const bend = history.bend(id)
      expect([loadedDeg, springbackDeg]).toEqual([bend?.peakDeg, bend?.springbackDeg])
    }
    expect(view.olderPoints).toBe(0)
  })

  test('the curve is what the station aims by, and each bend is off it by what is said', () => {
    const { model } = know(makeShop(history).taught(false), placeOf(second.setup))
    const law = coefficientsOf(model)
    view.loadedDeg.forEach((deg, k) => {
      expect(view.posterior.springbackDeg[k]).toBeCloseTo(
        deg > 0 ? springbackAtDeg(law, deg) : 0,
        12,
      )
    })
    for (const { loadedDeg, springbackDeg, offDeg, standing } of view.points)
      if (standing === 'counts')
        expect(offDeg).toBeCloseTo(springbackDeg - springbackAtDeg(law, loadedDeg), 12)
  })

  test('one that does not fit is set apart, with why and by how much', () => {
    const apart = view.points.find(({ id }) => id === slipped.id)
    expect(apart).toMatchObject({ standing: 'apart', decision: null })
    expect(apart?.why).toMatch(/teaches nothing/)
    expect(apart?.offDeg).toBeCloseTo(5.2 - (0.7 + 0.03 * 65 + 0.6), 1)
    expect(view.sentences.at(-1)).toMatch(/^1 bend is set apart/)
  })

  test('the lot is held against the last', () => {
    const sentence = view.sentences.find((said) => said.startsWith('This lot springs'))
    expect(sentence).toMatch(/springs 0\.6° more at 90° than the last, A1/)
    expect(door.view(first.id).sentences.join(' ')).not.toContain('than the last')
  })

  test('another set-up can be asked for', () => {
    const other = door.view(first.id)
    expect(other).toMatchObject({ setup: first, isInUse: false })
    expect(other.points.map(({ id }) => id)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9])
  })

  test('the wanted angle is that of the job in hand', () => {
    bender.now.job = { ...newBend(1).job, wantedDeg: 38 }
    const { wantedDeg, expected } = door.view()
    bender.now.job = null
    expect(wantedDeg).toBe(38)
    expect((expected?.loadedDeg ?? 0) - (expected?.springbackDeg ?? 0)).toBeCloseTo(38, 9)
  })

  test('simulated tube is kept apart from real tube', () => {
    bender.now.simulated = true
    const simulated = [door.view().points, door.lots().rows]
    bender.now.simulated = false
    expect(simulated).toEqual([[], []])
  })

  test('the table of lots has the last first, with its bends and what put them off', () => {
    const { rows, moreLots } = door.lots()
    expect(
      rows.map(({ tube, bends, apart, firstBend, lastBend }) => [
        ...[tube.lot, bends, apart, firstBend, lastBend],
      ]),
    ).toEqual([
      ['A2', 10, 1, 10, 19],
      ['A1', 9, 0, 1, 9],
    ])
    expect(moreLots).toBe(0)
    const [last, before] = rows
    expect(last?.difference?.differenceDeg).toBeCloseTo(0.6, 1)
    expect(before?.difference?.differenceDeg).toBeCloseTo(-0.6, 1)
    expect(last?.difference?.isTold).toBe(true)
    const squares = Array.from({ length: 9 }, (_, k) => history.bend(k + 1)!).map((bend) => {
      const shares = errorShares({ ...bend, expectedDeg: bend.prediction?.springbackDeg ?? null })
      return (shares?.tubeDeg ?? Number.NaN) ** 2
    })
    const rms = Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / 9)
    expect(before?.shares?.tubeDeg).toBeCloseTo(rms, 9)
  })
})

describe('a person decides', () => {
  test('a bend taken out, one put back, and one left to the others again', () => {
    const bender = makeBender()
    bender.use(SETUP)
    bendMany(bender, 8)
    bender.bend(65, 5.2)
    const act = { who: 'Quality', reason: 'The clamp had slipped.' }
    bender.history.addAct(newAct({ bendId: 2, decision: 'taken-out', ...act }))
    bender.history.addAct(newAct({ bendId: 9, decision: 'put-back', ...act }))
    const { points, sentences } = bender.door.view()
    expect(points[1]).toMatchObject({
      standing: 'taken-out',
      decision: { decision: 'taken-out', ...act },
    })
    expect(points[8]).toMatchObject({ standing: 'counts', decision: { decision: 'put-back' } })
    expect(sentences.at(-1)).toBe('A person decided on 2 bends.')
    bender.history.addAct(newAct({ bendId: 9, decision: 'as-found', ...act }))
    const after = bender.door.view()
    expect(after.points[8]).toMatchObject({ standing: 'apart', decision: { decision: 'as-found' } })
    expect(after.sentences.at(-1)).toMatch(/^1 bend is set apart .* A person decided on 1 bend\.$/)
  })
})

describe('where a lot changes unannounced', () => {
  test('the bends before it are told from those since, and the question is put', () => {
    const bender = makeBender()
    bender.use(SETUP)
    bendMany(bender, 18)
    bendMany(bender, 6, 1)
    const { points, sentences } = bender.door.view()
    const before = points.filter(({ standing }) => standing === 'before-change')
    expect(before.map(({ id }) => id)).toEqual(Array.from({ length: 18 }, (_, k) => k + 1))
    expect(sentences[0]).toMatch(/sprang .* more than those before: is this a new lot/)
    expect(bender.door.lots().rows[0]).toMatchObject({ bends: 24, apart: 0, firstBend: 1 })
  })
})

test('of many bends the newest 500 are shown and the others counted; of many lots the newest 50', () => {
  const bender = makeBender()
  bender.use(SETUP)
  bendMany(bender, 520)
  const view = bender.door.view()
  expect([view.points.length, view.olderPoints]).toEqual([500, 20])
  expect([view.points[0]?.id, view.points.at(-1)?.id]).toEqual([21, 520])
  for (let k = 0; k < 53; k++) {
    bender.use(lot(`M-${k}`))
    bendMany(bender, 1)
  }
  const { rows, moreLots } = bender.door.lots()
  expect([rows.length, moreLots, rows[0]?.tube.lot]).toEqual([50, 4, 'M-52'])
})
