import { afterEach, beforeEach, expect, test } from 'vitest'
import type { History } from '../../../../server/history/history.ts'
import { makeSigningKey } from '../../../../server/history/key.ts'
import type { NewBend } from '../../../../server/messages/bends.ts'
import { certifiedBy } from '../../../../server/station/certificate-desk.ts'
import { type CertifyParts, certify, type Signing } from '../../../../server/station/certify.ts'
import { Refused } from '../../../../server/web/station-door.ts'
import { makeFolder, newBend, openShop, rawOf } from '../history/shop.ts'

let dir: string
let remove: () => void
let history: History
beforeEach(() => {
  ;({ dir, remove } = makeFolder())
  history = openShop(dir)
})
afterEach(() => {
  history.close()
  remove()
})

const TRACE = { tS: [0, 1], angleDeg: [0, 90] }
const parts = (trace = async () => TRACE, signing: Signing | null = null): CertifyParts => ({
  history: certifiedBy(history),
  clock: { wallMs: () => Date.UTC(2026, 0, 6) },
  software: '0.1.0',
  trace,
  signing,
})
/** All but which bend and field, and what stands there now. */
const AMENDMENT = {
  schema: 1,
  at: '2026-01-06T09:00:00.000+00:00',
  software: '0.1.0',
  kind: 'amendment',
  who: 'Quality',
  reason: 'Read again.',
} as const
function bent(n: number, part: string, piece: number): number {
  const { job } = newBend(n)
  const changes: Partial<NewBend> = { job: { ...job, part, piece } }
  return history.append(newBend(n, changes), rawOf(n)).id
}
const sheetsOf = async (ask: object) =>
  (await certify(parts(), ask)).sheets.map(({ part, piece, bends }) => ({
    part,
    piece,
    ids: bends.map(({ bend }) => bend.id),
  }))
const refusal = (ask: object) =>
  certify(parts(), ask).then(
    () => 'not refused',
    (error: unknown) => (error instanceof Refused ? error.message : String(error)),
  )

test('takes one piece, or all pieces of a part or lot, each with its bends in order', async () => {
  for (const [n, [part, piece]] of (
    [
      ['A', 1],
      ['A', 2],
      ['B', 1],
      ['A', 1],
    ] as const
  ).entries())
    bent(n + 1, part, piece)
  expect(await sheetsOf({ part: 'A', piece: 1 })).toEqual([{ part: 'A', piece: 1, ids: [1, 4] }])
  expect(await sheetsOf({ part: 'A' })).toEqual([
    { part: 'A', piece: 1, ids: [1, 4] },
    { part: 'A', piece: 2, ids: [2] },
  ])
  const lot = history.bend(1)?.lot ?? ''
  expect((await sheetsOf({ lot })).flatMap(({ ids }) => ids)).toEqual([1, 4, 2, 3])
})

test('finds a piece far behind the newest thousand bends', async () => {
  bent(1, 'A', 7)
  for (let n = 2; n < 1100; n++) bent(n, 'A', 1)
  expect(await sheetsOf({ part: 'A', piece: 7 })).toEqual([{ part: 'A', piece: 7, ids: [1] }])
})

test('stands where the record stood, and tells what was done since', async () => {
  bent(1, 'A', 1)
  bent(2, 'A', 1)
  const act = {
    schema: 1,
    at: '2026-01-06T09:00:00.000+00:00',
    software: '0.1.0',
    bendId: 2,
  } as const
  const who = 'Quality'
  history.addAct({ ...act, kind: 'note', who, text: 'Seen.' })
  history.addAct({ ...act, kind: 'void', who, whoKnownBy: 'password', reason: 'Wrong tube.' })
  const { records, head, sheets } = await certify(parts(), { part: 'A' })
  expect([records, head]).toEqual([2, history.bend(2)?.hash])
  expect(head).toBe(history.verify().head)
  const [first, second] = sheets[0]?.bends ?? []
  expect([first?.isVoid, second?.isVoid]).toEqual([false, true])
  // No calibration was in force: nothing is known of the angle's uncertainty.
  expect(first?.proof).toBeNull()
  expect(second?.deeds).toEqual([
    { at: act.at, who: 'Quality (name typed)', what: 'note: “Seen.”' },
    { at: act.at, who: 'Quality', what: 'void, “Wrong tube.”' },
  ])
})

test('a bend is on the sheet of the piece that it is of by now; where it was recorded is told why it is gone', async () => {
  bent(1, 'A', 1)
  bent(2, 'A', 1)
  bent(3, 'A', 2)
  const { lot } = history.bend(3) ?? { lot: '' }
  history.addAct({ ...AMENDMENT, bendId: 2, field: 'piece', from: '1', to: '2' })
  history.addAct({ ...AMENDMENT, bendId: 3, field: 'lot', from: lot, to: 'L-99' })
  const told = async (ask: object) =>
    (await certify(parts(), ask)).sheets.map(({ part, piece, bends, gone }) => ({
      ...{ part, piece },
      bends: bends.map(({ bend }) => bend.id),
      gone: gone.map(({ bend, deeds }) => [bend.id, deeds.length]),
    }))
  expect(await told({ part: 'A', piece: 1 })).toEqual([
    { part: 'A', piece: 1, bends: [1], gone: [[2, 1]] },
  ])
  expect(await told({ part: 'A', piece: 2 })).toEqual([
    { part: 'A', piece: 2, bends: [2, 3], gone: [] },
  ])
  expect(await told({ part: 'A', lot: 'L-99' })).toEqual([
    { part: 'A', piece: 2, bends: [3], gone: [] },
  ])
  expect(await told({ part: 'A', piece: 2, lot })).toEqual([
    { part: 'A', piece: 2, bends: [2], gone: [[3, 1]] },
  ])
})

test('what was amended is told in words, and stands by what was recorded', async () => {
  bent(1, 'A', 1)
  const { lot } = history.bend(1) ?? { lot: '' }
  history.addAct({ ...AMENDMENT, bendId: 1, field: 'checkedDeg', from: null, to: '90.2' })
  history.addAct({ ...AMENDMENT, bendId: 1, field: 'lot', from: lot, to: 'L-99' })
  history.addAct({ ...AMENDMENT, bendId: 1, field: 'operator', from: 'X', to: 'Y' })
  history.addAct({
    ...AMENDMENT,
    bendId: 1,
    field: 'operator',
    from: 'Y',
    to: history.bend(1)?.operator ?? '',
  })
  const [bend] = (await certify(parts(), { part: 'A' })).sheets[0]?.bends ?? []
  expect(bend?.bend.lot).toBe(lot)
  expect(bend?.amended).toEqual({ checkedDeg: '90.2', lot: 'L-99' })
  expect(bend?.deeds[0]?.what).toBe(
    'amended: angle finder, degrees, from nothing to “90.2”, “Read again.”',
  )
})

test('an act that comes while bends are read is on it', async () => {
  for (let n = 1; n <= 20; n++) bent(n, 'A', 1)
  const made = certify(parts(), { part: 'A' })
  history.addAct({
    ...{ schema: 1, at: '2026-01-06T09:00:00.000+00:00', software: '0.1.0' },
    ...{ kind: 'void', who: 'Quality', bendId: 1, reason: 'Wrong tube.' },
  })
  expect((await made).sheets[0]?.bends[0]?.isVoid).toBe(true)
})

test('ends when whoever asked has left', async () => {
  for (let n = 1; n <= 20; n++) bent(n, 'A', 1)
  const left = new AbortController()
  let closed = false
  function* lines() {
    try {
      for (let n = 0; ; n++) {
        if (n === 20) left.abort(new Error('left'))
        yield '{}'
      }
    } finally {
      closed = true
    }
  }
  const signing = { key: makeSigningKey(dir), lines }
  const made = certify(parts(undefined, signing), { part: 'A' }, left.signal)
  await expect(made).rejects.toThrow('left')
  expect(closed).toBe(true)
})

test('records that are not those that are signed are refused, and nobody waits for them', async () => {
  bent(1, 'A', 1)
  const key = makeSigningKey(dir)
  const lines = () => [`{"end":{"bends":2,"acts":0}}\n`]
  const refused = await certify(parts(undefined, { key, lines }), { part: 'A' }).catch(String)
  expect(refused).toContain('overbend verify')
})

test('goes on where a trace cannot be run again, and only there', async () => {
  bent(1, 'A', 1)
  const old = () => Promise.reject(new Refused('no-rerun', 'Too old.'))
  expect((await certify(parts(old), { part: 'A' })).sheets[0]?.bends[0]?.trace).toBeNull()
  const broken = () => Promise.reject(new Error('broken'))
  await expect(certify(parts(broken), { part: 'A' })).rejects.toThrow('broken')
})

test('says what is missing, wrong, or too much', async () => {
  expect(await refusal({})).toContain('which part')
  expect(await refusal({ piece: 1 })).toContain('say which part')
  expect(await refusal({ part: 'none' })).toContain('No bend is on record')
  for (let n = 1; n <= 601; n++) bent(n, 'A', n)
  expect(await refusal({ part: 'A' })).toContain('More than 600 bends')
})
