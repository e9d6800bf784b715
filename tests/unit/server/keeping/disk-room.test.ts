import { describe, expect, test } from 'vitest'
import { roomFor, roomNotices } from '../../../../server/keeping/disk-room.ts'

const SHOP = {
  freeBytes: 50e9,
  historyBytes: 200e6,
  bends: 10_000,
  bendsLately: 3000,
  lateDays: 30,
  copiesPerDay: 0,
}

describe('room on the disk', () => {
  test('is divided by what a day takes: 100 bends of 20 kB are 2 MB', () => {
    expect(roomFor(SHOP)).toEqual({ freeBytes: 50e9, daysLeft: 25_000 })
  })

  test('a whole copy a day on the same disk takes the history’s size more', () => {
    expect(roomFor({ ...SHOP, copiesPerDay: 1 }).daysLeft).toBeCloseTo(50e9 / 202e6, 9)
  })

  test('without bends nothing grows, and nobody is told of days', () => {
    const room = roomFor({ ...SHOP, bends: 0, bendsLately: 0, historyBytes: 0 })
    expect(room.daysLeft).toBeNull()
    expect(roomNotices(room)).toEqual([])
    expect(roomNotices({ ...room, freeBytes: 1.5e9 })[0]?.text).toBe(
      'The disk of the history has 1.5 GB left.',
    )
  })

  test('bends of one morning are those of a day, not of nothing', () => {
    expect(roomFor({ ...SHOP, lateDays: 0.1 }).daysLeft).toBeCloseTo(50e9 / 60e6, 9)
  })

  test.each([
    [{ freeBytes: 50e9, daysLeft: 60 }, null],
    [{ freeBytes: 50e9, daysLeft: 59.9 }, 'task'],
    [{ freeBytes: 1.9e9, daysLeft: null }, 'task'],
    [{ freeBytes: 50e9, daysLeft: 6.9 }, 'fault'],
    [{ freeBytes: 199e6, daysLeft: 900 }, 'fault'],
    [{ freeBytes: Number.NaN, daysLeft: null }, 'fault'],
  ])('%j is told of as %s', (room, kind) => {
    expect(roomNotices(room)[0]?.kind ?? null).toBe(kind)
  })

  test('the words: how much, and how long', () => {
    expect(roomNotices({ freeBytes: 1.24e9, daysLeft: 1.5 })[0]?.text).toBe(
      'The disk of the history has 1.2 GB left, enough for about 1 day at this pace.',
    )
    expect(roomNotices({ freeBytes: 0.15e9, daysLeft: 800 })[0]?.text).toBe(
      'The disk of the history has 150 MB left, enough for more than a year at this pace.',
    )
  })

  test('nobody has looked yet: nothing is said', () => expect(roomNotices(null)).toEqual([]))
})
