import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { nextHash } from '../../../../server/history/chain-hash.ts'
import type { History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { verifyNow } from '../../../../server/history/verify.ts'
import type { NewChainRevision } from '../../../../server/messages/chain.ts'
import { makeFolder, newRevision, openShop, refusalOf, tamper } from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

let dir: string
let file: string
let remove: () => void
let history: History
beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
  history = openShop(dir)
})
afterEach(() => {
  history.close()
  remove()
})

const addThree = () => [
  history.addChainRevision(newRevision()),
  history.addChainRevision(newRevision({ name: 'arm-encoder' })),
  history.addChainRevision(newRevision({ chain: '{"half":0.5,"noiseDeg":0.03}' })),
]

describe('a revision', () => {
  test('is numbered after the last of its name; 1 is the shipped chain', () => {
    expect(addThree().map(({ name, revision }) => `${name} r${revision}`)).toEqual([
      'die-encoder r2',
      'arm-encoder r2',
      'die-encoder r3',
    ])
  })

  test('comes back as it was given, chained, to the last sign of its file, also after opening anew', () => {
    const added = addThree()
    history.close()
    history = openHistory(dir)
    expect(history.chainRevision(3)).toEqual(added[2])
    expect(history.chainRevision(3)?.chain).toBe('{"half":0.5,"noiseDeg":0.03}')
    expect(history.chainRevision(3)?.previousHash).toBe(added[1]?.hash)
    expect(history.chainRevision(4)).toBeNull()
    expect(history.newestChain('die-encoder')).toEqual(added[2])
    expect(history.newestChain('leg-tilt')).toBeNull()
    expect(history.chainRevisions('die-encoder', 9)).toEqual([added[2], added[0]])
    expect(history.chainRevisions('die-encoder', 1)).toEqual([added[2]])
  })

  test('is hashed over the canonical text that stands in the file (RFC 8785)', () => {
    const [first] = addThree()
    const db = new Database(file, { readonly: true })
    const text = db.prepare<[], string>('SELECT record FROM chain_log').pluck().get()
    db.close()
    expect(nextHash(Buffer.alloc(32), text ?? '').toString('hex')).toBe(first?.hash)
  })

  test.each([
    [{ at: 'yesterday' }, 'at is no time'],
    [{ who: '' }, '/who'],
    [{ why: ' ' }, '/why'],
    [{ name: '' }, '/name'],
    [{ chain: 7 }, '/chain'],
    [{ chain: 'x'.repeat(200_001) }, '/chain'],
    [{ colour: 'red' }, '/colour'],
  ])('with %j is refused in one sentence, and nothing is entered', (change, words) => {
    const given = { ...newRevision(), ...change } as NewChainRevision
    const { code, message } = refusalOf(() => history.addChainRevision(given))
    expect(code).toBe('HISTORY_BAD_CHAIN')
    expect(message).toMatch(/^This cannot be kept as a revision of the chain: .*\.$/)
    expect(message).toContain(words)
    expect(history.verify().chains.entries).toBe(0)
  })

  test('is neither changed nor taken out nor put in between', () => {
    addThree()
    history.close()
    const db = new Database(file)
    for (const sql of [
      "UPDATE chain_log SET record = ''",
      'DELETE FROM chain_log',
      "INSERT INTO chain_log VALUES (9, 'n', 2, '{}', zeroblob(32), zeroblob(32))",
      "INSERT OR REPLACE INTO chain_log VALUES (2, 'n', 2, '{}', zeroblob(32), zeroblob(32))",
    ])
      expect(() => db.exec(sql), sql).toThrow(/chain_log is append-only/)
    db.close()
    history = openHistory(dir)
  })
})

describe('verify', () => {
  test('an untouched log is intact, with its own head', () => {
    const added = addThree()
    expect(history.verify()).toMatchObject({
      ...{ intact: true, why: null },
      chains: { entries: 3, firstBroken: null, head: added[2]?.hash },
    })
  })

  test.each([
    ['record', `replace(record, 'hums', 'sings')`],
    ['record', "'{}'"],
    ['name', "'other'"],
    ['revision', '9'],
    ['hash', 'zeroblob(32)'],
    ['previous_hash', 'randomblob(32)'],
  ])('an altered %s is found at that revision', (column, value) => {
    addThree()
    history.close()
    tamper(file, `UPDATE chain_log SET ${column} = ${value} WHERE id = 2`)
    const found = verifyFolder(dir)
    history = openHistory(dir)
    expect(found).toMatchObject({ intact: false, chains: { entries: 1, firstBroken: 2 } })
    expect(found.why).toMatch(/^Revision 2 of the log of chains .*\.$/)
  })

  test('a whole log taken away is found', () => {
    history.close()
    tamper(file, 'DROP TABLE chain_log')
    expect(verifyFolder(dir)).toMatchObject({ intact: false, why: 'The log of chains is gone.' })
    tamper(file, 'CREATE TABLE chain_log (id, name, revision, record, previous_hash, hash)')
    history = openHistory(dir)
  })
})

test('a backup holds the revisions', async () => {
  const added = addThree()
  await history.backup(`${dir}/copy.sqlite`)
  const db = new Database(`${dir}/copy.sqlite`, { readonly: true })
  expect(verifyNow(db).chains).toEqual({ entries: 3, firstBroken: null, head: added[2]?.hash })
  db.close()
})
