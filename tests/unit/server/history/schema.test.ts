import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { migrations } from '../../../../server/history/migrations/index.ts'
import type { Migration } from '../../../../server/history/migrations/migration.ts'
import { checkIdentity, migrate } from '../../../../server/history/schema.ts'
import { refusalOf } from './shop.ts'

let db: Database.Database
beforeEach(() => {
  db = new Database(':memory:')
})
afterEach(() => db.close())

const version = () => db.pragma('user_version', { simple: true })
const tables = () =>
  db.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").pluck().all()

const one: Migration = { version: 1, sql: 'CREATE TABLE one (id INTEGER PRIMARY KEY)' }
const two: Migration = {
  version: 2,
  sql: 'CREATE TABLE two (id INTEGER); INSERT INTO two SELECT id FROM one',
}
const broken: Migration = {
  version: 3,
  sql: 'CREATE TABLE three (id INTEGER); INSERT INTO nothing',
}

test('the steps are numbered from 1 without gaps', () => {
  expect(migrations.map((step) => step.version)).toEqual(migrations.map((_, i) => i + 1))
})

describe('migrating', () => {
  test('a new file takes every step in order', () => {
    migrate(db, [one, two])
    expect(version()).toBe(2)
    expect(tables()).toEqual(['one', 'two'])
  })

  test('an older file takes only the steps it lacks, and keeps its rows', () => {
    migrate(db, [one])
    db.exec('INSERT INTO one VALUES (7)')
    migrate(db, [one, two])
    expect(db.prepare('SELECT id FROM two').pluck().all()).toEqual([7])
  })

  test('again changes nothing', () => {
    migrate(db, [one, two])
    const before = db.serialize()
    migrate(db, [one, two])
    expect(db.serialize().equals(before)).toBe(true)
  })

  test('a step that fails leaves the file as the step before left it', () => {
    expect(() => migrate(db, [one, two, broken])).toThrow()
    expect(version()).toBe(2)
    expect(tables()).toEqual(['one', 'two'])
    expect(db.inTransaction).toBe(false)
  })

  test('a first step that fails leaves a file that is not ours', () => {
    expect(() => migrate(db, [{ ...broken, version: 1 }])).toThrow()
    expect(version()).toBe(0)
    expect(refusalOf(() => checkIdentity(db, 'file')).code).toBe('HISTORY_FOREIGN')
  })
})

describe('identity', () => {
  test('a migrated file is ours', () => {
    migrate(db)
    expect(() => checkIdentity(db, 'file')).not.toThrow()
  })

  test('an empty file is not', () => {
    expect(refusalOf(() => checkIdentity(db, 'file')).code).toBe('HISTORY_FOREIGN')
  })

  test('another application number is not', () => {
    migrate(db)
    db.pragma('application_id = 1')
    expect(refusalOf(() => checkIdentity(db, 'file')).code).toBe('HISTORY_FOREIGN')
  })

  test('a newer version is refused by its number, the newest known is not', () => {
    migrate(db, [one, two])
    checkIdentity(db, 'file', [one, two])
    const refusal = refusalOf(() => checkIdentity(db, 'file', [one]))
    expect(refusal.code).toBe('HISTORY_NEWER')
    expect(refusal.message).toContain('schema 2')
  })
})

describe('rules of the first schema', () => {
  beforeEach(() => migrate(db))

  test.each([
    ['a number below 1', 'INSERT INTO bend (id) VALUES (0)'],
    ['a hash too short', "UPDATE bend SET hash = x'00'"],
    ['text where a number belongs', "INSERT INTO setup VALUES ('one', 't', 's')"],
    [
      'a second open bend of one bender',
      "INSERT INTO open_bend VALUES ('left', '{}'); INSERT INTO open_bend VALUES ('left', '{}')",
    ],
    ['raw lines of no bend', "INSERT INTO raw VALUES (1, x'00')"],
    ['a bend of no set-up', bendOf('1, 0, 1')],
    ['a gap in the numbers', `${SETUP_ROW}; ${bendOf('2, 1, 1')}`],
    ['a learned that is neither', `${SETUP_ROW}; ${bendOf('1, 1, 2')}`],
  ])('%s is refused', (name, sql) => {
    if (name === 'a hash too short') db.exec(`${SETUP_ROW}; ${bendOf('1, 1, 1')}`)
    const before = db.prepare('SELECT count(*) FROM bend').pluck().get()
    expect(() => db.exec(sql)).toThrow()
    expect(db.prepare('SELECT count(*) FROM bend').pluck().get()).toBe(before)
  })

  test('the same rows, rightly numbered, are taken', () => {
    db.exec(`${SETUP_ROW}; ${bendOf('1, 1, 1')}; ${bendOf('2, 1, 0')}`)
    expect(db.prepare('SELECT count(*) FROM bend').pluck().get()).toBe(2)
  })
})

const SETUP_ROW = "INSERT INTO setup VALUES (1, 't', 's')"

/** A row of the table bend from its number, set-up and learned. */
function bendOf(idSetupLearned: string): string {
  const [id, setup, learned] = idSetupLearned.split(', ')
  return `INSERT INTO bend VALUES
    (${id}, 0, 'p', 'l', 'o', 'in', ${setup}, ${learned}, '{}', zeroblob(32), zeroblob(32))`
}
