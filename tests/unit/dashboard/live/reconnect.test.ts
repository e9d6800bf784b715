import { expect, test } from 'vitest'
import { waitMs } from '../../../../dashboard/live/reconnect.ts'

test('each try waits longer than the one before, up to a ceiling', () => {
  const waits = Array.from({ length: 40 }, (_, tries) => waitMs(tries))
  expect(waits[0]).toBe(250)
  expect(waits).toEqual([...waits].sort((a, b) => a - b))
  expect(Math.max(...waits)).toBe(4000)
  expect(waitMs(1e9)).toBe(4000)
})
