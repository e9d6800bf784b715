import { afterEach, beforeEach, expect, test } from 'vitest'
import { HistoryError } from '../../../../server/history/errors.ts'
import type { History } from '../../../../server/history/history.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { makeExportDesk } from '../../../../server/keeping/export-desk.ts'
import type { NewExport } from '../../../../server/messages/exports.ts'
import { makeFolder, newBend, newExport, openShop, rawOf, refusalOf, tamper } from './shop.ts'

let history: History
let file: string
let remove: () => void
beforeEach(() => {
  const folder = makeFolder()
  ;({ file, remove } = folder)
  history = openShop(folder.dir)
})
afterEach(() => {
  history.close()
  remove()
})

test('an entry is chained, and names the last record of its moment', () => {
  const first = history.addExport(newExport())
  const bend = history.append(newBend(1), rawOf(1))
  const second = history.addExport(newExport({ format: 'signed', filter: {} }))
  expect([first.after, second.after]).toEqual([null, { number: 1, hash: bend.hash }])
  expect(second.previousHash).toBe(first.hash)
  expect(history.exportsLogged({ limit: 9 })).toEqual([second, first])
  expect(history.exportsLogged({ limit: 9, before: 2 })).toEqual([first])
  expect(history.verify(second.hash)).toMatchObject({
    ...{ intact: true, exports: { entries: 2, firstBroken: null, head: second.hash } },
  })
})

test.each<[string, Partial<NewExport>]>([
  ['another format', { format: 'paper' as 'csv' }],
  ['fewer than no records', { records: -1 }],
  ['a time without offset', { at: '2026-01-05T09:00:00' }],
  ['a nameless person', { who: '' }],
])('%s is refused, and nothing is entered', (_, change) => {
  expect(refusalOf(() => history.addExport(newExport(change))).code).toBe('HISTORY_BAD_EXPORT')
  expect(history.exportsLogged({ limit: 9 })).toEqual([])
})

test('a bend cut off at the end is found, with raw lines and all, where an export named it', () => {
  history.append(newBend(1), rawOf(1))
  history.append(newBend(2), rawOf(2))
  history.addExport(newExport())
  history.close()
  tamper(file, 'DELETE FROM raw WHERE bend_id = 2')
  tamper(file, 'DELETE FROM bend WHERE id = 2')
  expect(verifyFolder(file)).toMatchObject({
    ...{ records: 1, intact: false, exports: { firstBroken: 1 } },
    why: 'Export 1 of the log of exports was altered: the history holds another record than it names.',
  })
})

test('entries that no disk takes wait within bounds, oldest given up first, in their order', () => {
  let isFull = true
  const facts: unknown[] = []
  const { left, close } = makeExportDesk({
    history: {
      summary: history.summary,
      addExport(given) {
        if (isFull) throw new HistoryError('HISTORY_DISK_FULL')
        return history.addExport(given)
      },
    },
    ...{ at: () => '2026-01-05T09:00:00.000+01:00', software: '0.1.0' },
    log: (_, told) => void facts.push(told),
  })
  for (let n = 1; n <= 202; n += 1)
    left({ who: null, device: '127.0.0.1', format: 'csv', filter: { piece: n } })
  expect(facts.at(-1)).toMatchObject({ waiting: 200, lost: 1 })
  isFull = false
  left({ who: null, device: '127.0.0.1', format: 'json', filter: {} })
  const entered = history.exportsLogged({ limit: 500 }).reverse()
  expect(entered.map(({ filter }) => filter['piece'])).toEqual([
    ...Array.from({ length: 200 }, (_, i) => i + 3),
    undefined,
  ])
  // At the end of the daemon: tried once more, and told of entry by entry where that fails.
  isFull = true
  left({ who: 'Quality', device: '127.0.0.1', format: 'csv', filter: {} })
  close()
  expect(facts.at(-1)).toMatchObject({ exports: [{ who: 'Quality', format: 'csv', records: 0 }] })
  isFull = false
  const told = facts.length
  close()
  expect(history.exportsLogged({ limit: 1 })).toMatchObject([{ who: 'Quality', format: 'csv' }])
  expect(facts).toHaveLength(told)
})

test('an export whose bends cannot be counted is told of, and one that can never be entered keeps no other waiting', () => {
  const facts: unknown[] = []
  let isBroken = true
  const { left, close } = makeExportDesk({
    history: {
      summary(filter) {
        if (isBroken) throw new HistoryError('HISTORY_DISK_FAULT', { what: 'EIO' })
        return history.summary(filter)
      },
      addExport(given) {
        if (given.device === 'odd') throw new HistoryError('HISTORY_BAD_EXPORT', { what: 'odd' })
        return history.addExport(given)
      },
    },
    ...{ at: () => '2026-01-05T09:00:00.000+01:00', software: '0.1.0' },
    log: (_, more) => void facts.push(more),
  })
  left({ who: 'Quality', device: '127.0.0.1', format: 'json', filter: {} })
  expect(facts).toMatchObject([{ who: 'Quality', format: 'json', records: null }])
  isBroken = false
  left({ who: null, device: 'odd', format: 'csv', filter: {} })
  left({ who: null, device: '127.0.0.1', format: 'csv', filter: {} })
  close()
  expect(facts.at(-1)).toMatchObject({ device: 'odd', format: 'csv' })
  expect(facts).toHaveLength(2)
  expect(history.exportsLogged({ limit: 9 })).toMatchObject([{ device: '127.0.0.1' }])
})

test('an export that asks for what cannot be asked is none: it is neither entered nor told of as one', () => {
  const facts: unknown[] = []
  const { left, close } = makeExportDesk({
    ...{ history, at: () => '2026-01-05T09:00:00.000+01:00', software: '0.1.0' },
    log: (_, more) => void facts.push(more),
  })
  left({ who: null, device: '127.0.0.1', format: 'csv', filter: { firstDay: '2026-02-30' } })
  close()
  expect(history.exportsLogged({ limit: 9 })).toEqual([])
  expect(facts).toEqual([])
})
