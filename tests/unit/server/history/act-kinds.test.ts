import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { nextHash } from '../../../../server/history/chain-hash.ts'
import type { History } from '../../../../server/history/history.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { ACT_KINDS, type NewAct } from '../../../../server/messages/acts.ts'
import { EXAMPLE_ASKS, EXAMPLE_PHOTO } from '../../../support/example-acts.ts'
import { makeFolder, newAct, openShop, refusalOf } from './shop.ts'

vi.setConfig({ testTimeout: 60_000 })

let dir: string
let file: string
let remove: () => void
let history: History
beforeEach(() => {
  ;({ dir, file, remove } = makeFolder())
  history = openShop(dir, 2)
})
afterEach(() => {
  history.close()
  remove()
})

const given = (kind: (typeof ACT_KINDS)[number]['kind'], bendId = 1) =>
  ({
    ...{ kind, schema: 1, at: '2026-01-05T09:00:00.000+01:00', whoKnownBy: 'typed' },
    ...EXAMPLE_ASKS[kind],
    ...{ bendId, software: '0.1.0' },
  }) as NewAct

test('an act of every kind comes back as it was given, also after opening anew', () => {
  history.addPhoto(EXAMPLE_PHOTO)
  const asked = ACT_KINDS.map(({ kind }) => given(kind))
  const kept = asked.map((act) => history.addAct(act))
  history.close()
  history = openHistory(dir)
  expect(history.actsOn(1)).toEqual(kept)
  const back = kept.map(({ id, bend, after, previousHash, hash, ...rest }) => rest)
  expect(back).toEqual(asked)
  expect(history.verify()).toMatchObject({ intact: true, acts: { entries: ACT_KINDS.length } })
})

test('a decision is hashed over the same text as before there were other kinds', () => {
  history.addAct(newAct())
  history.close()
  const db = new Database(file, { readonly: true })
  const row = db.prepare('SELECT record, hash FROM act_log').get() as {
    record: string
    hash: Buffer
  }
  const hashes = db.prepare<[], Buffer>('SELECT hash FROM bend ORDER BY id').pluck().all()
  db.close()
  history = openHistory(dir)
  const [first, second] = hashes.map((hash) => hash.toString('hex'))
  const text =
    `{"after":{"hash":"${second}","number":2},"at":"2026-01-05T09:00:00.000Z",` +
    `"bend":{"hash":"${first}","number":1},"bendId":1,"decision":"taken-out","id":1,` +
    '"kind":"teaching","reason":"The clamp had slipped: marks on the tube.","schema":1,' +
    '"software":"0.1.0","who":"Quality"}'
  expect(row.record).toBe(text)
  expect(row.hash).toEqual(nextHash(Buffer.alloc(32), text))
})

describe('refused, naming what is wrong', () => {
  test.each([
    ['rumour', {}, 'no such kind'],
    ['amendment', { field: 'releasedDeg' }, '/field'],
    ['amendment', { field: 'verdict' }, '/field'],
    ['amendment', { field: 'hash' }, '/field'],
    ['amendment', { to: 3 }, '/to'],
    ['amendment', { decision: 'put-back' }, '/decision'],
    ['void', { reason: '' }, '/reason'],
    ['signature', { role: 'approved' }, '/role'],
    ['signature', { meaning: ' ' }, '/meaning'],
    ['note', { text: '' }, '/text'],
    ['note', { text: 'x'.repeat(10_001) }, '/text'],
    ['note', { whoKnownBy: 'hearsay' }, '/whoKnownBy'],
    ['note', { who: '' }, '/who'],
  ])('%s, no. %#', (kind, change, words) => {
    const act = { ...given('note'), ...given(kind as 'note'), kind, ...change }
    if (kind !== 'note') Reflect.deleteProperty(act, 'text')
    const { code, message } = refusalOf(() => history.addAct(act as NewAct))
    expect(code).toBe('HISTORY_BAD_ACT')
    expect(message).toContain(words)
    expect(history.verify().acts.entries).toBe(0)
  })
})

test.each([
  ['10 000 letters', 'x'.repeat(10_000)],
  ['10 000 emoji', '🛠'.repeat(10_000)],
  ['right to left', 'משהו\u202E\n'.repeat(1000)],
  ['markup', '<script>1</script>'],
])('a note is kept exactly: %s', (_, text) => {
  history.addAct({ ...given('note'), text } as NewAct)
  history.close()
  history = openHistory(dir)
  expect(history.actsOn(1)).toMatchObject([{ text }])
  expect(history.verify().intact).toBe(true)
})

test('void and counting again is what was said last of each bend', () => {
  expect(history.voided()).toEqual([])
  history.addAct(given('void', 1))
  history.addAct(given('void', 2))
  history.addAct(given('note', 2))
  expect(history.voided()).toEqual([1, 2])
  history.addAct(given('reinstated', 1))
  expect(history.voided()).toEqual([2])
  history.addAct(given('void', 1))
  expect(history.voided()).toEqual([1, 2])
})

test('a void bend says nothing of the hand that stopped it', () => {
  const { job, setup, simulated } = history.bend(2)!
  const hands = { operator: job.operator, station: setup.station, simulated }
  expect(history.bendsByHands(hands, 10)).toHaveLength(1)
  history.addAct(given('void', 2))
  expect(history.bendsByHands(hands, 10)).toEqual([])
})

test('the list marks what was done about a bend, and leaves others unmarked', () => {
  history.addAct(given('amendment', 2))
  history.addAct(given('signature', 2))
  const [second, first] = history.page({ limit: 10 }).bends
  expect(second?.marks).toEqual({ isVoid: false, isAmended: true, signed: 'signed' })
  expect(first).not.toHaveProperty('marks')
  history.addAct(given('void', 2))
  expect(history.page({ limit: 1 }).bends[0]?.marks).toEqual({
    ...{ isVoid: true, isAmended: true, signed: null },
  })
})
