import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { restoreHistory } from '../../../../server/history/restore.ts'
import { makeViewsDesk } from '../../../../server/station/views-desk.ts'
import { makeFolder, openShop } from '../history/shop.ts'

const { dir, remove } = makeFolder()
afterAll(remove)

test('a view is in the file of the history: after a restart, and in what was restored elsewhere', async () => {
  const clock = { wallMs: () => Date.UTC(2026, 2, 1) }
  const view = { who: 'Quality', name: '今日 <b>', filter: { lot: 'L-1' } }
  const history = openShop(join(dir, 'shop'))
  makeViewsDesk({ history, clock }).save(view)
  const copy = join(dir, 'copy.sqlite')
  await history.backup(copy)
  history.close()
  await restoreHistory(join(dir, 'elsewhere'), copy)
  for (const place of ['shop', 'elsewhere']) {
    const reopened = openShop(join(dir, place))
    expect(makeViewsDesk({ history: reopened, clock }).list()).toMatchObject([view])
    reopened.close()
  }
})
