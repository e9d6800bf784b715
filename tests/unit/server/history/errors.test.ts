import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { asHistoryError, naming, namingAsync } from '../../../../server/history/disk-errors.ts'
import { HISTORY_ERRORS, HistoryError } from '../../../../server/history/errors.ts'
import { lateRefusalOf, makeFolder, refusalOf } from './shop.ts'

const failure = (code: unknown) => Object.assign(new Error('as the disk says'), { code })

describe('what the disk or the database says', () => {
  test.each([
    ['SQLITE_FULL', 'HISTORY_DISK_FULL'],
    ['SQLITE_IOERR_SHMSIZE', 'HISTORY_DISK_FULL'],
    ['ENOSPC', 'HISTORY_DISK_FULL'],
    ['EDQUOT', 'HISTORY_DISK_FULL'],
    ['SQLITE_READONLY', 'HISTORY_READ_ONLY'],
    ['SQLITE_READONLY_DIRECTORY', 'HISTORY_READ_ONLY'],
    ['EROFS', 'HISTORY_READ_ONLY'],
    ['EACCES', 'HISTORY_READ_ONLY'],
    ['SQLITE_BUSY', 'HISTORY_BUSY'],
    ['SQLITE_BUSY_SNAPSHOT', 'HISTORY_BUSY'],
    ['SQLITE_LOCKED', 'HISTORY_BUSY'],
    ['SQLITE_CORRUPT', 'HISTORY_CORRUPT'],
    ['SQLITE_CORRUPT_INDEX', 'HISTORY_CORRUPT'],
    ['SQLITE_NOTADB', 'HISTORY_FOREIGN'],
    ['SQLITE_IOERR_FSYNC', 'HISTORY_DISK_FAULT'],
    ['SQLITE_IOERR_WRITE', 'HISTORY_DISK_FAULT'],
    ['EIO', 'HISTORY_DISK_FAULT'],
    ['ENOTDIR', 'HISTORY_BAD_PATH'],
  ])('%s is %s', (code, expected) => {
    const cause = failure(code)
    const refusal = refusalOf(() =>
      naming('/shop/data', () => {
        throw cause
      }),
    )
    expect(refusal.code).toBe(expected)
    expect(refusal.message).toContain('/shop/data')
    expect(refusal.cause).toBe(cause)
  })

  test('a file that cannot be opened in a good folder is a fault of the disk', () => {
    const { dir, file, remove } = makeFolder()
    mkdirSync(file)
    expect(asHistoryError(failure('SQLITE_CANTOPEN'), file)).toMatchObject({
      code: 'HISTORY_DISK_FAULT',
    })
    const nowhere = join(dir, 'nowhere', 'file')
    expect(asHistoryError(failure('SQLITE_CANTOPEN_ISDIR'), nowhere)).toMatchObject({
      code: 'HISTORY_READ_ONLY',
    })
    remove()
  })

  test.each([
    new TypeError('a mistake of the program'),
    failure(7),
    failure('nothing known'),
    'text',
    null,
    undefined,
  ])('%s is handed on as it is', (thrown) => {
    expect(asHistoryError(thrown, '/shop')).toBe(thrown)
  })

  test('a refusal is not wrapped again', async () => {
    const refusal = new HistoryError('HISTORY_CLOSED', { at: '/a' })
    expect(asHistoryError(refusal, '/b')).toBe(refusal)
    expect(await lateRefusalOf(namingAsync('/b', () => Promise.reject(refusal)))).toBe(refusal)
  })
})

describe('the table', () => {
  test.each(Object.entries(HISTORY_ERRORS))('%s is one sentence that ends', (code, entry) => {
    expect(code).toMatch(/^HISTORY_[A-Z_]+$/)
    expect(entry.sentence).toMatch(/^[A-Z{].*(\.|\{what\})$/)
  })

  test('facts are put in as they are, also where they look like patterns', () => {
    const refusal = new HistoryError('HISTORY_CORRUPT', { at: '/a$&{what}', what: "$'b" })
    expect(refusal.message).toContain('/a$&')
    expect(refusal.message).toContain("$'b")
    expect(refusal.name).toBe('HistoryError')
  })

  test('facts that are missing leave no hole', () => {
    for (const code of Object.keys(HISTORY_ERRORS) as (keyof typeof HISTORY_ERRORS)[])
      expect(new HistoryError(code).message).not.toMatch(/[{}]|undefined/)
  })
})
