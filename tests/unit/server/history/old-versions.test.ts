import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { gunzipSync } from 'node:zlib'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { backUp } from '../../../../server/history/backup.ts'
import { migrations } from '../../../../server/history/migrations/index.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { openReader, verifyFolder } from '../../../../server/history/reader.ts'
import { restoreHistory } from '../../../../server/history/restore.ts'
import type { Bend } from '../../../../server/messages/bends.ts'
import {
  makeFolder,
  newAct,
  newBend,
  newCalibration,
  newCheck,
  newPiece,
  newRevision,
  rawOf,
} from './shop.ts'

vi.setConfig({ testTimeout: 60_000 })

const NONE = '0'.repeat(64)
const HEAD = '671435a88ac13d2b1e7d47dd937689d8d350e18bb02673882c7d8e1bd2251627'
const READOUT_HEAD = 'c17db4c9896449ade58df79470f9f1259f8de4853306f46c47834ff569eaa226'
const ACTS_HEAD = '2fa532130e858cfaba8828d7da0dca13df5e64e4f5662124716913a594c1f58a'
const CHAINS_HEAD = '409c093cd9f68a3bacef811b6dc9c1735bdfacfd35356c68c7c111ee56037aa7'
const PEOPLE_HEAD = 'bb369a96f6c0db9c6fe2930b2727db0c21293a5491da53cac61b1902e183b1be'

/**
 * Each file was written by the last version of its schema: three bends, the second and third naming the calibration
 * and the check that were in force, and one entry of each log that the schema had; from 7 on a bend left open at a
 * bender, from 8 on a photo. The heads were noted then, and are the same in each schema.
 */
const VERSIONS = [
  { version: 2, acts: NONE, chains: NONE, people: NONE },
  { version: 3, acts: ACTS_HEAD, chains: NONE, people: NONE },
  { version: 4, acts: ACTS_HEAD, chains: CHAINS_HEAD, people: NONE },
  ...[5, 6, 7, 8].map((version) => ({
    ...{ version, acts: ACTS_HEAD, chains: CHAINS_HEAD, people: PEOPLE_HEAD },
  })),
]
const PHOTO = '02a3e298f1533f62558c58e4c70edcab9af5a50d62d925fd5390942020fb0fb8'

let dir: string
let file: string
let remove: () => void
beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
})
afterEach(() => remove())

const versionOf = (path: string) => {
  const db = new Database(path, { readonly: true })
  const version = db.pragma('user_version', { simple: true })
  db.close()
  return version
}

const written = (version: number) =>
  gunzipSync(readFileSync(join(import.meta.dirname, `data/version-${version}.sqlite.gz`)))

const idsOf = (bends: Iterable<Bend>) => [...bends].map(({ id }) => id)

describe.each(VERSIONS)('a history of schema $version', ({ version, acts, chains, people }) => {
  const entries = (head: string) => ({ entries: head === NONE ? 0 : 1, firstBroken: null, head })
  const INTACT = {
    records: 3,
    intact: true,
    head: HEAD,
    readout: { entries: 3, firstBroken: null, head: READOUT_HEAD },
    acts: entries(acts),
    chains: entries(chains),
    people: entries(people),
  }
  beforeEach(() => writeFileSync(file, written(version)))

  test('is read, verified and searched as it is, without being touched', () => {
    for (const head of [HEAD, READOUT_HEAD]) expect(verifyFolder(dir, head)).toMatchObject(INTACT)
    expect(verifyFolder(dir, ACTS_HEAD).intact).toBe(acts === ACTS_HEAD)
    const reader = openReader(dir)
    expect(idsOf(reader.bends({}))).toEqual([1, 2, 3])
    expect(idsOf(reader.bends({ part: 'Ladder' }))).toEqual([1, 3])
    expect(reader.raw(2)).toEqual(rawOf(2))
    expect(reader.newest()).toEqual({ records: 3, head: HEAD })
    reader.close()
    expect(readFileSync(file).equals(written(version))).toBe(true)
  })

  test('is backed up as it is, and what is restored then takes bends', async () => {
    const copy = join(dir, 'copy.sqlite')
    expect(await backUp(dir, copy)).toMatchObject({ records: 3 })
    expect(versionOf(copy)).toBe(version)
    const other = makeFolder()
    await restoreHistory(other.dir, copy)
    const history = openHistory(other.dir)
    expect(history.append(newBend(4), rawOf(4)).previousHash).toBe(HEAD)
    expect(history.verify(HEAD)).toMatchObject({ records: 4, intact: true })
    history.close()
    other.remove()
  })

  test('opened to write it has the newest schema, every record and entry, and goes on', () => {
    const history = openHistory(dir)
    expect(versionOf(file)).toBe(migrations.at(-1)?.version)
    expect(history.verify(HEAD)).toMatchObject(INTACT)
    expect(history.bend(1)).toMatchObject({ id: 1, ...newBend(1) })
    expect(history.bend(3)?.readout?.check?.number).toBe(3)
    expect(history.raw(2)).toEqual(rawOf(2))
    expect(history.page({ limit: 9, lot: 'L-1', operator: 'Operator 3' }).bends).toHaveLength(1)
    expect([1, 2, 3].map((id) => history.readoutEntry(id))).toMatchObject([
      newCalibration(),
      newPiece(),
      newCheck(),
    ])
    if (acts !== NONE) expect(history.actsOn(2)).toMatchObject([newAct({ bendId: 2 })])
    if (chains !== NONE) expect(history.newestChain('die-encoder')).toMatchObject(newRevision())
    if (people !== NONE) expect(history.secretOf('N. Tester')).toBe('kept secret')
    expect(history.leftOpenAt()).toEqual(version >= 7 ? ['left'] : [])
    if (version >= 8) expect(history.photo(PHOTO)).toMatchObject({ type: 'image/png' })
    expect(history.append(newBend(4), rawOf(4)).previousHash).toBe(HEAD)
    history.addAct(newAct({ bendId: 1 }))
    history.addChainRevision(newRevision())
    expect(history.verify(READOUT_HEAD)).toMatchObject({
      records: 4,
      intact: true,
      acts: { entries: INTACT.acts.entries + 1 },
      chains: { entries: INTACT.chains.entries + 1 },
    })
    history.close()
  })

  test('with one altered entry it is not intact, before the steps and after them', () => {
    const db = new Database(file)
    db.exec('DROP TRIGGER readout_log_never_changes')
    db.exec("UPDATE readout_log SET record = replace(record, 'C-17', 'C-18') WHERE id = 1")
    db.close()
    expect(verifyFolder(dir)).toMatchObject({ intact: false })
    const history = openHistory(dir)
    expect(history.verify()).toMatchObject({ intact: false, readout: { firstBroken: 1 } })
    history.close()
  })
})

test('every schema that ever was has a history here', () => {
  // Version 1 has a test of its own. A new step of the schema adds the file of the one before it.
  const kept = [1, ...VERSIONS.map(({ version }) => version)]
  const steps = migrations.map(({ version }) => version)
  expect(kept).toEqual(steps.slice(0, -1))
})
