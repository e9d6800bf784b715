import { afterEach, beforeEach, expect, test } from 'vitest'
import type { History } from '../../../../server/history/history.ts'
import type { NewAct } from '../../../../server/messages/acts.ts'
import { EXAMPLE_ASKS } from '../../../support/example-acts.ts'
import { makeFolder, openShop } from './shop.ts'

let remove: () => void
let history: History
beforeEach(() => {
  const folder = makeFolder()
  remove = folder.remove
  history = openShop(folder.dir, 1)
})
afterEach(() => {
  history.close()
  remove()
})

test.each([
  { code: 'C-1', ovality: { by: 'ratio', limit: 0.9 }, thinningMaxPercent: null },
  { code: 'C-1', ovality: { by: 'mean', limit: 7.5 }, thinningMaxPercent: 12.5 },
  { code: 'C-1', ovality: { by: 'nominal', limit: 8 }, thinningMaxPercent: 20 },
])('an inspection against %j comes back to the number', (limits) => {
  history.addAct({
    ...{ kind: 'inspection', schema: 1, at: '2026-01-05T09:00:00.000+01:00' },
    ...EXAMPLE_ASKS.inspection,
    ...{ limits, bendId: 1, software: '0.1.0' },
  } as NewAct)
  expect(history.actsOn(1)).toMatchObject([{ kind: 'inspection', limits }])
  expect(history.verify().intact).toBe(true)
})
