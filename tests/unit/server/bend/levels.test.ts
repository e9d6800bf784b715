import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import type { Evidence } from '../../../../server/bend/level-shares.ts'
import { NODES_MAX } from '../../../../server/bend/level-solver.ts'
import {
  askLevels,
  type Levels,
  type LotNode,
  logLikelihoodOf,
  newDie,
  newLevels,
  newLot,
  newMaterial,
  newSeat,
  putShare,
  setLotVariance,
} from '../../../../server/bend/levels.ts'

const SPREADS = {
  shopInterceptVariance: 0.0144,
  dieInterceptVariance: 0.04,
}
const SEAT = 0.0784
const LOT = 0.0049
const MATERIAL = 0.0151
const SEED = 4711

function uniformFrom(seed: number) {
  let state = seed
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 4294967296
  }
}

/** A shop with crossed lots and dies, and the same as one dense Gaussian, unknown by unknown. */
function crossedShop(seed: number, lotVariance = LOT) {
  const uniform = uniformFrom(seed)
  const levels = newLevels(SPREADS, lotVariance)
  const size = 1 + 2 + 3 + 6 + 5
  const dense = Matrix.zeros(size, size)
  const right = Matrix.zeros(size, 1)
  const add = (i: number, j: number, value: number) => dense.set(i, j, dense.get(i, j) + value)
  const bind = (i: number, j: number, variance: number) => {
    add(i, i, 1 / variance)
    add(j, j, 1 / variance)
    add(i, j, -1 / variance)
    add(j, i, -1 / variance)
  }
  add(0, 0, 1 / SPREADS.shopInterceptVariance)
  const materials = [1, 2].map((at) => {
    add(at, at, 1 / MATERIAL)
    return newMaterial(levels, MATERIAL)
  })
  const dies = [3, 4, 5].map((at) => {
    bind(0, at, SPREADS.dieInterceptVariance)
    return newDie(levels)
  })
  const seats = Array.from({ length: 6 }, (_, k) => {
    bind(3 + (k % 3), 6 + k, SEAT)
    return newSeat(levels, dies[k % 3]!, SEAT)
  })
  const lots = Array.from({ length: 5 }, (_, k) => {
    bind(1 + (k % 2), 12 + k, lotVariance)
    return newLot(levels, materials[k % 2]!, MATERIAL)
  })
  const shares: { lot: number; seat: number; evidence: Evidence }[] = []
  for (let n = 0; n < 12; n++) {
    const lot = n % 5
    const seat = (lot % 2) * 3 + Math.floor(uniform() * 3)
    const [p, q] = [40 * uniform(), 3000 * uniform()]
    const evidence = {
      interceptPrecision: p,
      ratioPrecision: q,
      crossPrecision: Math.sqrt(p * q) * (1.6 * uniform() - 0.8),
      interceptRight: 20 * uniform() - 10,
      ratioRight: 400 * uniform() - 200,
    }
    shares.push({ lot, seat, evidence })
    putShare(levels, lots[lot]!, `${n}`, { seat: seats[seat]!, evidence })
    const [a, r] = [6 + seat, 12 + lot]
    add(a, a, p)
    add(r, r, q)
    add(a, r, evidence.crossPrecision)
    add(r, a, evidence.crossPrecision)
    right.set(a, 0, right.get(a, 0) + evidence.interceptRight)
    right.set(r, 0, right.get(r, 0) + evidence.ratioRight)
  }
  return { levels, lots, seats, materials, dies, dense, right, shares }
}

function askFor(
  levels: Levels,
  lot: LotNode,
  at: { seat: number | null; die: number | null; without?: string },
) {
  const { material, materialVariance } = lot
  return askLevels(levels, {
    lot,
    material,
    materialVariance,
    seatVariance: SEAT,
    without: 'none',
    ...at,
  })
}

describe(`levels are the exact Gaussian (seed ${SEED})`, () => {
  const { levels, lots, seats, dies, dense, right } = crossedShop(SEED)
  const covariance = inverse(dense)
  const mean = covariance.mmul(right)

  it.each([
    [0, 0],
    [1, 4],
    [2, 2],
    [4, 1],
  ])('lot %d on seat %d', (lot, seat) => {
    const pair = askFor(levels, lots[lot]!, { seat: seats[seat]!, die: dies[seat % 3]! })
    const [a, r] = [6 + seat, 12 + lot]
    expect(pair.mean[0]).toBeCloseTo(mean.get(a, 0), 10)
    expect(pair.mean[1]).toBeCloseTo(mean.get(r, 0), 10)
    expect(pair.firstVariance).toBeCloseTo(covariance.get(a, a), 10)
    expect(pair.covariance).toBeCloseTo(covariance.get(a, r), 10)
    expect(pair.secondVariance).toBeCloseTo(covariance.get(r, r), 10)
  })

  it('a new lot of a known material lies where the material is, wider by the lots’ variance', () => {
    const pair = askLevels(levels, {
      lot: null,
      material: lots[0]!.material,
      materialVariance: MATERIAL,
      seat: seats[0]!,
      seatVariance: SEAT,
      die: dies[0]!,
      without: 'none',
    })
    expect(pair.mean[1]).toBeCloseTo(mean.get(1, 0), 10)
    expect(pair.secondVariance).toBeCloseTo(covariance.get(1, 1) + LOT, 10)
    expect(pair.covariance).toBeCloseTo(covariance.get(6, 1), 10)
  })

  it('a new seat of a known die, and a new die of the shop', () => {
    const seat = askFor(levels, lots[0]!, { seat: null, die: dies[1]! })
    expect(seat.mean[0]).toBeCloseTo(mean.get(4, 0), 10)
    expect(seat.firstVariance).toBeCloseTo(covariance.get(4, 4) + SEAT, 10)
    const die = askFor(levels, lots[0]!, { seat: null, die: null })
    const wider = SEAT + SPREADS.dieInterceptVariance
    expect(die.firstVariance).toBeCloseTo(covariance.get(0, 0) + wider, 10)
  })

  it('asking changes nothing', () => {
    const ask = () => askFor(levels, lots[3]!, { seat: null, die: null })
    expect(ask()).toEqual(ask())
  })
})

describe('a set-up left out', () => {
  it('is as if it had never been bent', () => {
    const { levels, lots, seats, dies, shares, dense, right } = crossedShop(SEED + 1)
    const { lot, seat, evidence } = shares[7]!
    const [a, r] = [6 + seat, 12 + lot]
    const take = (i: number, j: number, v: number) => dense.set(i, j, dense.get(i, j) - v)
    take(a, a, evidence.interceptPrecision)
    take(r, r, evidence.ratioPrecision)
    take(a, r, evidence.crossPrecision)
    take(r, a, evidence.crossPrecision)
    right.set(a, 0, right.get(a, 0) - evidence.interceptRight)
    right.set(r, 0, right.get(r, 0) - evidence.ratioRight)
    const mean = inverse(dense).mmul(right)
    const at = { seat: seats[seat]!, die: dies[seat % 3]!, without: '7' }
    const pair = askFor(levels, lots[lot]!, at)
    expect(pair.mean[0]).toBeCloseTo(mean.get(a, 0), 10)
    expect(pair.mean[1]).toBeCloseTo(mean.get(r, 0), 10)
  })
})

describe('the lots’ variance', () => {
  it('set later or from the start: the same answers', () => {
    const [late, early] = [crossedShop(SEED, LOT), crossedShop(SEED, 0.01)]
    setLotVariance(late.levels, 0.01)
    const at = { seat: late.seats[0]!, die: late.dies[0]! }
    const [a, b] = [
      askFor(late.levels, late.lots[1]!, at),
      askFor(early.levels, early.lots[1]!, at),
    ]
    expect(a.mean[1]).toBeCloseTo(b.mean[1], 12)
    expect(a.secondVariance).toBeCloseTo(b.secondVariance, 12)
  })

  it('the likelihood is that of the dense Gaussian, but for a constant', () => {
    const logOf = (variance: number) => {
      const { dense, right } = crossedShop(SEED, variance)
      const chol = inverse(dense)
      const quadratic = right.transpose().mmul(chol).mmul(right).get(0, 0)
      // log det by eigenvalues would do; LU's diagonal is enough for a small positive matrix.
      let logDet = 0
      const work = dense.clone()
      for (let k = 0; k < work.rows; k++) {
        logDet += Math.log(work.get(k, k))
        for (let i = k + 1; i < work.rows; i++) {
          const factor = work.get(i, k) / work.get(k, k)
          for (let j = k; j < work.rows; j++)
            work.set(i, j, work.get(i, j) - factor * work.get(k, j))
        }
      }
      return (quadratic - logDet - 5 * Math.log(variance)) / 2
    }
    const { levels } = crossedShop(SEED)
    const ours = logLikelihoodOf(levels, 0.02) - logLikelihoodOf(levels, 0.003)
    expect(ours).toBeCloseTo(logOf(0.02) - logOf(0.003), 8)
  })
})

describe('limits', () => {
  it(`past ${NODES_MAX} nodes a die or material is on its own`, () => {
    const levels = newLevels(SPREADS, LOT)
    for (let k = 1; k < NODES_MAX; k++) expect(newDie(levels)).toBe(k)
    expect(newDie(levels)).toBeNull()
    expect(newMaterial(levels, MATERIAL)).toBeNull()
    expect(newSeat(levels, null, SEAT)).toBeNull()
    const lot = newLot(levels, null, MATERIAL)
    const evidence = {
      interceptPrecision: 5,
      crossPrecision: 1,
      ratioPrecision: 1000,
      interceptRight: 1,
      ratioRight: 50,
    }
    putShare(levels, lot, 'a', { seat: null, evidence })
    const pair = askFor(levels, lot, { seat: null, die: null })
    expect(pair.mean[1]).toBeCloseTo(50 / (1000 + 1 / (LOT + MATERIAL)), 12)
    expect(pair.mean[0]).toBe(0)
  })

  it('a lot of other levels is refused', () => {
    const [one, other] = [crossedShop(1), crossedShop(2)]
    const share = { seat: 3, evidence: one.shares[0]!.evidence }
    expect(() => putShare(one.levels, other.lots[0]!, 'a', share)).toThrow('other levels')
  })
})
