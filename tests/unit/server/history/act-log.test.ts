import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { nextHash } from '../../../../server/history/chain-hash.ts'
import type { History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { verifyFolder } from '../../../../server/history/reader.ts'
import { verifyNow } from '../../../../server/history/verify.ts'
import type { NewAct } from '../../../../server/messages/acts.ts'
import { makeFolder, newAct, newBend, openShop, rawOf, refusalOf, tamper } from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

let dir: string
let file: string
let remove: () => void
let history: History
beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
  history = openShop(dir, 3)
})
afterEach(() => {
  history.close()
  remove()
})

const addThree = () => [
  history.addAct(newAct()),
  history.addAct(newAct({ bendId: 2, decision: 'put-back' })),
  history.addAct(newAct({ decision: 'as-found', reason: 'It was the other tube.' })),
]

describe('an act', () => {
  test('comes back as it was given, numbered, chained and tied to the bends, also after opening anew', () => {
    const acts = addThree()
    history.close()
    history = openHistory(dir)
    expect(history.actsOn(1)).toEqual([acts[0], acts[2]])
    expect(history.actsOn(2)).toEqual([acts[1]])
    expect(history.actsOn(3)).toEqual([])
    const { id, bend, after, previousHash, hash, ...rest } = acts[1]!
    expect(rest).toEqual(newAct({ bendId: 2, decision: 'put-back' }))
    expect([id, previousHash]).toEqual([2, acts[0]!.hash])
    expect(hash).not.toBe(previousHash)
    expect(bend).toEqual({ number: 2, hash: history.bend(2)!.hash })
    expect(after).toEqual({ number: 3, hash: history.bend(3)!.hash })
  })

  test('is hashed over the canonical text that stands in the file (RFC 8785)', () => {
    const [first] = addThree()
    const db = new Database(file, { readonly: true })
    const text = db.prepare<[], string>('SELECT record FROM act_log').pluck().get()!
    db.close()
    expect(nextHash(Buffer.alloc(32), text).toString('hex')).toBe(first!.hash)
  })

  test.each([
    [{ at: 'yesterday' }, 'at is no time'],
    [{ who: '' }, '/who'],
    [{ reason: ' ' }, '/reason'],
    [{ decision: 'perhaps' }, '/decision'],
    [{ bendId: 0 }, '/bendId'],
    [{ bendId: 4 }, 'there is no bend number 4'],
    [{ reason: 'a lone \ud800 surrogate' }, 'surrogate'],
  ])('with %j is refused in one sentence, and nothing is entered', (change, words) => {
    const { code, message } = refusalOf(() => history.addAct({ ...newAct(), ...change } as NewAct))
    expect(code).toBe('HISTORY_BAD_ACT')
    expect(message).toMatch(/^This cannot be entered about a bend: .*\.$/)
    expect(message.toLowerCase()).toContain(words.toLowerCase())
    expect(history.verify().acts.entries).toBe(0)
  })

  test('keeps whatever words a person used', () => {
    const reason = '<b>Слип</b> \u202Eמשהו 🛠 "=1+1"\nsecond line'
    expect(history.addAct(newAct({ reason }))).toMatchObject({ reason })
    expect(history.actsOn(1)).toMatchObject([{ reason }])
    expect(history.verify().intact).toBe(true)
  })

  test('is neither changed nor taken out nor put in between', () => {
    addThree()
    history.close()
    const db = new Database(file)
    for (const sql of [
      "UPDATE act_log SET record = ''",
      'UPDATE act_log SET id = 9 WHERE id = 3',
      'DELETE FROM act_log',
      "INSERT INTO act_log VALUES (9, 'teaching', 1, '{}', zeroblob(32), zeroblob(32))",
      "INSERT INTO act_log VALUES (0, 'teaching', 1, '{}', zeroblob(32), zeroblob(32))",
      "INSERT OR REPLACE INTO act_log VALUES (2, 'teaching', 1, '{}', zeroblob(32), zeroblob(32))",
    ])
      expect(() => db.exec(sql), sql).toThrow(/act_log is append-only/)
    db.close()
    history = openHistory(dir)
  })
})

test('the last decision about each bend is what stands', () => {
  expect(history.decisions()).toEqual([])
  addThree()
  expect(history.decisions()).toEqual([
    { bendId: 1, decision: 'as-found' },
    { bendId: 2, decision: 'put-back' },
  ])
})

describe('verify', () => {
  function verifiedAfter(sql: string, ...values: unknown[]) {
    history.close()
    tamper(file, sql, ...values)
    const found = verifyFolder(dir)
    history = openHistory(dir)
    return found
  }

  test('an untouched log is intact, with its own head, also when bends came later', () => {
    const acts = addThree()
    history.append(newBend(4), rawOf(4))
    expect(history.verify()).toMatchObject({
      ...{ records: 4, intact: true, why: null },
      acts: { entries: 3, firstBroken: null, head: acts[2]!.hash },
    })
  })

  test.each([
    ['record', `replace(record, 'other tube', 'same tube')`],
    ['record', "'{}'"],
    ['kind', "'rumour'"],
    ['bend_id', '3'],
    ['hash', 'zeroblob(32)'],
    ['previous_hash', 'randomblob(32)'],
  ])('an altered %s is found at that act, and the bends stand', (column, value) => {
    addThree()
    const found = verifiedAfter(`UPDATE act_log SET ${column} = ${value} WHERE id = 3`)
    expect(found).toMatchObject({ records: 3, intact: false, firstBroken: null })
    expect(found.acts).toMatchObject({ entries: 2, firstBroken: 3 })
    expect(found.why).toMatch(/^Act \d of the log of acts .*\.$/)
  })

  test.each([1, 2])('act %d taken out is found there', (id) => {
    addThree()
    const found = verifiedAfter('DELETE FROM act_log WHERE id = ?', id)
    expect(found.acts.firstBroken).toBe(id)
    expect(found.why).toContain('missing')
  })

  test('acts cut off at the end show against the head of their log that was written down', () => {
    const acts = addThree()
    const heads = acts.map(({ hash }) => hash)
    for (const head of heads) expect(history.verify(head).intact).toBe(true)
    expect(verifiedAfter('DELETE FROM act_log WHERE id = 3')).toMatchObject({ intact: true })
    expect(history.verify(heads[1]).intact).toBe(true)
    expect(history.verify(heads[2])).toMatchObject({
      ...{ records: 3, intact: false, firstBroken: null },
      ...{ why: expect.stringContaining('cut off'), acts: { entries: 2, firstBroken: null } },
    })
  })

  test('a bend changed and hashed anew under an act shows in the act', () => {
    addThree()
    history.close()
    const db = new Database(file, { readonly: true })
    const row = db.prepare('SELECT record, previous_hash FROM bend WHERE id = 3').get() as {
      record: string
      previous_hash: Buffer
    }
    db.close()
    const record = row.record.replace('"wantedUdeg":90000000', '"wantedUdeg":91000000')
    expect(record).not.toBe(row.record)
    const hash = nextHash(row.previous_hash, record)
    tamper(file, 'UPDATE bend SET record = ?, hash = ? WHERE id = 3', record, hash)
    const found = verifyFolder(dir)
    history = openHistory(dir)
    expect(found).toMatchObject({ intact: false, firstBroken: null, acts: { firstBroken: 1 } })
    expect(found.why).toContain('another bend than it names')
  })

  test('a whole log taken away is found', () => {
    history.close()
    tamper(file, 'DROP TABLE act_log')
    expect(verifyFolder(dir)).toMatchObject({ intact: false, why: 'The log of acts is gone.' })
    tamper(file, 'CREATE TABLE act_log (id, kind, bend_id, record, previous_hash, hash)')
    history = openHistory(dir)
  })
})

test('a backup holds the acts, and one whose acts were altered is refused', async () => {
  const acts = addThree()
  await history.backup(`${dir}/copy.sqlite`)
  const db = new Database(`${dir}/copy.sqlite`, { readonly: true })
  expect(verifyNow(db).acts).toEqual({ entries: 3, firstBroken: null, head: acts[2]!.hash })
  db.close()
  history.close()
  tamper(file, "UPDATE act_log SET kind = 'x' WHERE id = 1")
  history = openHistory(dir)
  await expect(history.backup(`${dir}/other.sqlite`)).rejects.toMatchObject({
    code: 'HISTORY_NOT_INTACT',
  })
})
