import { describe, expect, it } from 'vitest'
import {
  clearFallLog,
  extendFallLog,
  newFallLog,
  truncateFallLog,
} from '../../../../server/bend/fall-log.ts'

function filled(entries: number) {
  const log = newFallLog()
  for (let entry = 0; entry < entries; entry += 1) extendFallLog(log, entry / 200, entry)
  return log
}

const kept = (log: ReturnType<typeof newFallLog>) => log.angleDeg.slice(0, log.count)

describe('the log of a fall', () => {
  it('keeps the first 256 as they are', () => {
    const log = filled(256)
    expect(log.width).toBe(1)
    expect(kept(log)).toEqual(Array.from({ length: 256 }, (_, entry) => entry))
  })

  it.each([257, 300, 512, 1000, 5000, 100_000])(
    'of %d keeps means of equal runs, at most 256',
    (entries) => {
      const log = filled(entries)
      expect(log.count).toBeLessThanOrEqual(256)
      expect(log.count).toBeGreaterThan(127)
      const { width } = log
      // The mean of a run of whole numbers is the middle between its first and its last.
      kept(log).forEach((angleDeg, entry) => {
        expect(angleDeg).toBeCloseTo(entry * width + (width - 1) / 2, 6)
        expect(log.timeS[entry]).toBeCloseTo(angleDeg / 200, 6)
      })
      expect(log.count * width + log.openCount).toBe(entries)
    },
  )

  it('is cut at a time, and goes on from there', () => {
    const log = filled(100)
    truncateFallLog(log, 0.2)
    expect(log.count).toBe(41)
    extendFallLog(log, 9, 77)
    expect(kept(log).at(-1)).toBe(77)
  })

  it('cut before its beginning is empty', () => {
    const log = filled(1000)
    truncateFallLog(log, -1)
    expect(log.count).toBe(0)
    expect(log.openCount).toBe(0)
  })

  it('cleared starts fine again', () => {
    const log = filled(5000)
    clearFallLog(log)
    extendFallLog(log, 1, 2)
    expect([log.count, log.width, log.angleDeg[0]]).toEqual([1, 1, 2])
  })
})
