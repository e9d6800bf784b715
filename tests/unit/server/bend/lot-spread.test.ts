import { describe, expect, it } from 'vitest'
import {
  newDie,
  newLevels,
  newLot,
  newMaterial,
  newSeat,
  putShare,
} from '../../../../server/bend/levels.ts'
import {
  estimateLotVariance,
  LOT_VARIANCE,
  nextReview,
} from '../../../../server/bend/lot-spread.ts'

/** Lots whose ratios are known to 1 %, at ±`spread` about their material. */
function shopOf(lots: number, spread: number) {
  const levels = newLevels(
    { shopInterceptVariance: 0.01, dieInterceptVariance: 0.01 },
    LOT_VARIANCE,
  )
  const material = newMaterial(levels, 0.02)
  const seat = newSeat(levels, newDie(levels), 0.01)
  for (let k = 0; k < lots; k++) {
    const lot = newLot(levels, material, 0.02)
    const evidence = {
      interceptPrecision: 1,
      crossPrecision: 0,
      ratioPrecision: 1e4,
      interceptRight: 0,
      ratioRight: 1e4 * (0.1 + (k % 2 ? spread : -spread)),
    }
    putShare(levels, lot, `${k}`, { seat, evidence })
  }
  return Math.sqrt(estimateLotVariance(levels))
}

describe('estimateLotVariance', () => {
  it('with no lots it is about the usual, a grid’s mean wider', () => {
    expect(shopOf(0, 0)).toBeGreaterThan(0.06)
    expect(shopOf(0, 0)).toBeLessThan(0.1)
  })

  it.each([0.03, 0.07, 0.15])('many lots at ±%d show it', (spread) => {
    expect(shopOf(60, spread) / spread).toBeGreaterThan(0.9)
    expect(shopOf(60, spread) / spread).toBeLessThan(1.15)
  })

  it('eight lots are drawn towards the usual spread', () => {
    expect(shopOf(8, 0.02)).toBeGreaterThan(shopOf(60, 0.02))
    expect(shopOf(8, 0.02)).toBeLessThan(0.07)
  })
})

it('reviews come at eight lots and then a quarter more each time', () => {
  const reviews = [nextReview(0)]
  while (reviews.length < 6) reviews.push(nextReview(reviews.at(-1)!))
  expect(reviews).toEqual([8, 10, 13, 17, 22, 28])
})
