import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { gunzipSync } from 'node:zlib'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { backUp } from '../../../../server/history/backup.ts'
import { migrations } from '../../../../server/history/migrations/index.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { openReader, verifyFolder } from '../../../../server/history/reader.ts'
import { restoreHistory } from '../../../../server/history/restore.ts'
import { makeFolder, newAct, newBend, newCalibration, rawOf, SETUP } from './shop.ts'

vi.setConfig({ testTimeout: 60_000 })

/** Three bends, written by the last version whose schema was 1; the hash of the third was noted then. */
const WRITTEN = gunzipSync(readFileSync(join(import.meta.dirname, 'data/version-1.sqlite.gz')))
const HEAD = '04d86c1e0997e96f25959981c4c1e73deb52a943b5ddb045db19159e973401f9'

let dir: string
let file: string
let remove: () => void
beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
  writeFileSync(file, WRITTEN)
})
afterEach(() => remove())

const versionOf = (path: string) => {
  const db = new Database(path, { readonly: true })
  const version = db.pragma('user_version', { simple: true })
  db.close()
  return version
}

test('is read, verified and exported as it is, without being touched', () => {
  expect(verifyFolder(dir, HEAD)).toEqual({
    records: 3,
    intact: true,
    firstBroken: null,
    why: null,
    head: HEAD,
    readout: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    acts: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    chains: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    people: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
    exports: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
  })
  const reader = openReader(dir)
  const bends = [...reader.bends({})]
  expect([...reader.bends({ part: 'Rail' })].map(({ id }) => id)).toEqual([2])
  reader.close()
  expect(bends.map(({ id, readout }) => [id, readout])).toEqual([
    [1, undefined],
    [2, undefined],
    [3, undefined],
  ])
  expect(versionOf(file)).toBe(1)
})

test('is backed up as it is, and restored to a folder that then takes new entries', async () => {
  const copy = join(dir, 'copy.sqlite')
  expect(await backUp(dir, copy)).toMatchObject({ records: 3 })
  const other = makeFolder()
  try {
    await restoreHistory(other.dir, copy)
    const history = openHistory(other.dir)
    expect(history.addReadoutEntry(newCalibration()).id).toBe(1)
    expect(history.verify(HEAD)).toMatchObject({ records: 3, intact: true })
    history.close()
  } finally {
    other.remove()
  }
})

test('opened to write it takes the logs, keeps every record and its hash, and goes on', () => {
  const history = openHistory(dir)
  expect(versionOf(file)).toBe(migrations.at(-1)?.version)
  expect(history.verify(HEAD)).toMatchObject({ records: 3, intact: true, head: HEAD })
  expect(history.bend(2)).toMatchObject({ id: 2, ...newBend(2) })
  expect(history.raw(3)).toEqual(rawOf(3))
  expect(history.setups().map(({ setup }) => setup)).toEqual([SETUP])
  const entry = history.addReadoutEntry(newCalibration())
  expect(entry.id).toBe(1)
  expect(history.append(newBend(4), rawOf(4)).previousHash).toBe(HEAD)
  expect(history.addAct(newAct({ bendId: 3 })).bend.hash).toBe(HEAD)
  expect(history.verify(HEAD)).toMatchObject({
    records: 4,
    intact: true,
    readout: { entries: 1, head: entry.hash },
    acts: { entries: 1 },
  })
  history.close()
})

test('cut off in the middle of the step it is still whole, of one schema or the other', () => {
  copyFileSync(file, `${file}.kept`)
  const db = new Database(file)
  db.exec('BEGIN')
  db.exec('CREATE TABLE readout_log (id INTEGER PRIMARY KEY) STRICT')
  // The power goes: what was not committed never was.
  db.close()
  expect(versionOf(file)).toBe(1)
  const history = openHistory(dir)
  expect(history.addReadoutEntry(newCalibration()).id).toBe(1)
  history.close()
})
