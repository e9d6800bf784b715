import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { verifyNow } from '../../../../server/history/verify.ts'
import { ACT_KINDS, type NewAct } from '../../../../server/messages/acts.ts'
import { altered, type Json } from '../../../support/altered.ts'
import { EXAMPLE_ASKS, EXAMPLE_PHOTO } from '../../../support/example-acts.ts'
import { makeFolder, newExport, newPersonChange, openShop } from './shop.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

let remove: () => void
let db: Database.Database
beforeAll(() => {
  const folder = makeFolder()
  remove = folder.remove
  const history = openShop(folder.dir, 4)
  history.addPhoto(EXAMPLE_PHOTO)
  for (const { kind } of ACT_KINDS)
    history.addAct({
      ...{ kind, schema: 1, at: '2026-01-05T09:00:00.000+01:00', whoKnownBy: 'typed' },
      ...EXAMPLE_ASKS[kind],
      ...{ bendId: 2, software: '0.1.0' },
    } as NewAct)
  history.addPersonChange(newPersonChange(), 'secret')
  history.addExport(newExport())
  history.close()
  db = new Database(folder.file)
  db.pragma('foreign_keys = OFF')
  db.pragma('ignore_check_constraints = ON')
  const triggers = db.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").pluck().all()
  for (const name of triggers) db.exec(`DROP TRIGGER "${name}"`)
})
afterAll(() => {
  db.close()
  remove()
})

/** What the check finds after these changes, which are then undone. */
function foundAfter(...changes: readonly [sql: string, ...values: unknown[]][]) {
  db.exec('BEGIN')
  try {
    for (const [sql, ...values] of changes) db.prepare(sql).run(...values)
    return verifyNow(db, { isChainOnly: true })
  } finally {
    db.exec('ROLLBACK')
  }
}

const recordsOf = (table: string) =>
  db
    .prepare<[], { id: number; record: string }>(`SELECT id, record FROM ${table} ORDER BY id`)
    .all()
const TABLES = ['bend', 'act_log', 'people_log', 'export_log'] as const

test('untouched it is intact', () => {
  expect(foundAfter()).toMatchObject({ records: 4, intact: true })
})

describe.each(TABLES)('in %s', (table) => {
  const brokenAt = (found: ReturnType<typeof verifyNow>) =>
    ({ bend: found, act_log: found.acts, people_log: found.people, export_log: found.exports })[
      table
    ].firstBroken

  test('every field of every kind of text, another or gone, is found at its number', () => {
    const rows = table === 'bend' ? recordsOf(table).slice(1, 2) : recordsOf(table)
    let tried = 0
    for (const { id, record } of rows)
      for (const other of altered(JSON.parse(record) as Json)) {
        const text = JSON.stringify(other)
        const found = foundAfter([`UPDATE ${table} SET record = ? WHERE id = ?`, text, id])
        expect([found.intact, brokenAt(found)], text).toEqual([false, id])
        tried += 1
      }
    expect(tried).toBeGreaterThan(15)
  })

  test('every column, another, is found', () => {
    const columns = db.prepare(`SELECT name FROM pragma_table_info('${table}')`).pluck().all()
    for (const name of columns as string[]) {
      const other = name.endsWith('hash') ? Buffer.alloc(32, 7) : name === 'record' ? '{}' : 77
      const found = foundAfter([`UPDATE ${table} SET ${name} = ? WHERE id = 1`, other])
      expect(found.intact, name).toBe(false)
    }
  })
})

test('a photo that lost a byte, is another or is gone is found at the act that names it', () => {
  const act = ACT_KINDS.findIndex(({ kind }) => kind === 'photo') + 1
  const changed = Buffer.from(EXAMPLE_PHOTO)
  changed[40] = (changed[40] ?? 0) ^ 1
  for (const change of [
    ['UPDATE photo SET image = ?', changed],
    ['UPDATE photo SET image = ?', EXAMPLE_PHOTO.subarray(1)],
    ["UPDATE photo SET type = 'image/webp'"],
    ['DELETE FROM photo'],
  ] as [string, ...unknown[]][])
    expect(foundAfter(change)).toMatchObject({ intact: false, acts: { firstBroken: act } })
})

describe.each(['bend', 'act_log'] as const)('of %s', (table) => {
  test('one taken out of the midst, two that changed places, one put in are found', () => {
    const swap = (from: number, to: number): [string, number, number] => [
      `UPDATE ${table} SET id = ? WHERE id = ?`,
      to,
      from,
    ]
    const parts = [
      [[`DELETE FROM ${table} WHERE id = 2`] as [string]],
      [swap(2, 99), swap(3, 2), swap(99, 3)],
      [swap(4, 99)],
    ]
    for (const changes of parts) expect(foundAfter(...changes).intact).toBe(false)
  })

  test('the end cut off is found against the head that was written down', () => {
    const { head, acts } = foundAfter()
    const anchor = table === 'bend' ? head : acts.head
    const last = recordsOf(table).length
    db.exec('BEGIN')
    db.prepare(`DELETE FROM ${table} WHERE id = ?`).run(last)
    if (table === 'bend') db.prepare('DELETE FROM raw WHERE bend_id = ?').run(last)
    const found = verifyNow(db, { isChainOnly: true, anchor })
    db.exec('ROLLBACK')
    expect(found.intact).toBe(false)
  })
})
