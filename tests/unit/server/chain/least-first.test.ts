import fc from 'fast-check'
import { expect, test } from 'vitest'
import { newQueue } from '../../../../server/chain/least-first.ts'

test('what goes in and out in any order comes out the least first (seed 5)', () => {
  // A number goes in; null takes one out.
  const acts = fc.array(fc.option(fc.integer({ min: 0, max: 50 }), { freq: 2 }))
  fc.assert(
    fc.property(acts, (all) => {
      const queue = newQueue()
      const model: number[] = []
      for (const act of all) {
        if (act === null) {
          model.sort((a, b) => a - b)
          expect(queue.take()).toBe(model.shift())
          continue
        }
        queue.add(act)
        model.push(act)
      }
      for (const number of model.sort((a, b) => a - b)) expect(queue.take()).toBe(number)
      expect(queue.take()).toBeUndefined()
    }),
    { seed: 5, numRuns: 500 },
  )
})
