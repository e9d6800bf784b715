import { expect, test } from 'vitest'
import { makeFlushAlong } from '../../../../server/history/flush-along.ts'

const PAGES_OF_16_MB = 2048

test('a copy waits for the disk each 16 MB, and never at once for all of it', async () => {
  const flushed: (() => void)[] = []
  const along = makeFlushAlong('copy', () => new Promise((resolve) => flushed.push(resolve)))
  expect(along.isFlushing(100)).toBe(false)
  expect(along.isFlushing(PAGES_OF_16_MB)).toBe(true)
  expect(along.isFlushing(PAGES_OF_16_MB)).toBe(true)
  expect(flushed).toHaveLength(1)
  flushed[0]?.()
  await along.end()
  expect(along.isFlushing(PAGES_OF_16_MB + 100)).toBe(false)
  expect(along.isFlushing(2 * PAGES_OF_16_MB)).toBe(true)
  expect(flushed).toHaveLength(2)
  flushed[1]?.()
  await along.end()
})

test('a file that cannot be flushed holds nobody up: whoever writes it is told by SQLite', async () => {
  const along = makeFlushAlong('/nowhere/copy')
  expect(along.isFlushing(PAGES_OF_16_MB)).toBe(true)
  await along.end()
  expect(along.isFlushing(PAGES_OF_16_MB)).toBe(false)
})
