import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { History } from '../../../../server/history/history.ts'
import type { NewAct } from '../../../../server/messages/acts.ts'
import type { SignPieceAsk } from '../../../../server/messages/piece.ts'
import { makeBendActs } from '../../../../server/station/bend-acts.ts'
import { certifiedBy } from '../../../../server/station/certificate-desk.ts'
import { certify } from '../../../../server/station/certify.ts'
import { makePieceDesk } from '../../../../server/station/piece-desk.ts'
import { type PieceDoor, Refused } from '../../../../server/web/station-door.ts'
import { fillShop, makeFolder, newBend, openShop, rawOf } from '../history/shop.ts'

const PIECE = { part: 'Rail', piece: 7 }
const AT = '2026-01-06T09:00:00.000+00:00'

let dir: string
let remove: () => void
let history: History
let desk: PieceDoor
let isBending: boolean
beforeEach(() => {
  ;({ dir, remove } = makeFolder())
  open()
})
afterEach(() => {
  history.close()
  remove()
})

function open(): void {
  isBending = false
  history = openShop(dir)
  const parts = {
    ...{ history, software: '0.1.0', clock: { wallMs: () => Date.parse(AT) } },
    teaching: () => [{ retaught: () => {}, isBending: () => isBending }] as never,
  }
  desk = makePieceDesk(parts, makeBendActs(parts))
}

function bend(piece = PIECE.piece, part = PIECE.part): number {
  const n = history.count() + 1
  const { job } = newBend(n)
  return history.append(newBend(n, { job: { ...job, part, piece, bendNumber: n } }), rawOf(n)).id
}
const act = (bendId: number, said: object) =>
  history.addAct({
    ...{ schema: 1, at: AT, software: '0.1.0', who: 'Quality', bendId },
    ...said,
  } as NewAct)
const voided = (bendId: number) => act(bendId, { kind: 'void', reason: 'Wrong tube.' })
const signedBy = (bendId: number, who: string, role = 'signed') =>
  act(bendId, { kind: 'signature', who, role, meaning: 'Seen.' })

/** As whoever looks and signs at once has it. */
const asked = (change: Partial<SignPieceAsk> = {}): SignPieceAsk => ({
  ...{ who: 'Rosa', role: 'signed', meaning: 'I vouch for it.' },
  ...PIECE,
  seen: change.seen ?? desk.look(PIECE).seen,
  ...change,
})
const sign = (change: Partial<SignPieceAsk> = {}) => desk.sign(asked(change), 'password')
const counter = { who: 'Ada', role: 'counter-signed' } as const

function refusal(work: () => unknown) {
  const before = history.verify().acts
  try {
    work()
  } catch (error) {
    if (!(error instanceof Refused)) throw error
    // All or nothing: whichever bend was at fault, no act was entered.
    expect(history.verify().acts).toEqual(before)
    return { code: error.code, field: error.field, sentence: error.message }
  }
  throw new Error('It was not refused.')
}

describe('a piece', () => {
  test('is looked at with its bends in order, what they came to, and who signed them', () => {
    for (const piece of [7, 8, 7, 7]) bend(piece)
    signedBy(1, 'Rosa')
    signedBy(1, 'Ada', 'counter-signed')
    voided(3)
    const amended = { kind: 'amendment', from: '4', to: '3', reason: 'Counted anew.' }
    act(4, { ...amended, field: 'bendNumber' })
    const { bends, seen } = desk.look(PIECE)
    expect(
      bends.map(({ id, bendNumber, isVoid, isAmended }) => [id, bendNumber, isVoid, isAmended]),
    ).toEqual([
      [1, 1, false, false],
      [3, 3, true, false],
      [4, 3, false, true],
    ])
    expect(bends[0]).toMatchObject({ verdict: 'in', wantedDeg: 90, releasedDeg: 90.1 })
    expect(bends[0]?.signatures).toEqual([
      { act: 1, who: 'Rosa', role: 'signed' },
      { act: 2, who: 'Ada', role: 'counter-signed' },
    ])
    expect(seen).toEqual({
      ...{ bends: 3, acts: 4, lastAct: 4 },
      newest: { number: 4, hash: history.bend(4)?.hash },
    })
  })

  test('is the one that stands by now, as on its certificate', async () => {
    for (const piece of [7, 7, 8]) bend(piece)
    act(2, { kind: 'amendment', field: 'piece', from: '7', to: '9', reason: 'Read the stamp.' })
    act(3, { kind: 'amendment', field: 'piece', from: '8', to: '7', reason: 'Read the stamp.' })
    const parts = {
      ...{ history: certifiedBy(history), software: '0.1.0', signing: null },
      ...{ clock: { wallMs: () => Date.parse(AT) }, trace: async () => null },
    }
    const { sheets } = await certify(parts, PIECE)
    const [here] = sheets.filter(({ bends }) => bends.length > 0)
    const ids = desk.look(PIECE).bends.map(({ id }) => id)
    expect(ids).toEqual([1, 3])
    expect(here?.bends.map((one) => one.bend.id)).toEqual(ids)
  })

  test('on which no bend stands is refused, also where all were amended away', () => {
    expect(refusal(() => desk.look(PIECE))).toEqual({
      ...{ code: 'empty-piece', field: 'piece' },
      sentence: 'No bend stands on piece 7 of Rail: look at part and piece.',
    })
    bend()
    act(1, { kind: 'amendment', field: 'part', from: 'Rail', to: 'Ladder', reason: 'Misread.' })
    expect(refusal(() => desk.look(PIECE)).code).toBe('empty-piece')
  })
})

describe('signing a piece', () => {
  test('is one act a bend, each naming its record by hash; the chain holds and the certificate shows them', async () => {
    for (const piece of [7, 8, 7, 7]) bend(piece)
    const { acts, leftOut } = sign()
    expect(leftOut).toEqual([])
    expect(acts.map((one) => one.bend)).toEqual(
      [1, 3, 4].map((number) => ({ number, hash: history.bend(number)?.hash })),
    )
    for (const [i, id] of [1, 3, 4].entries()) {
      expect(history.actsOn(id)).toEqual([acts[i]])
      expect(acts[i]).toMatchObject({ kind: 'signature', who: 'Rosa', whoKnownBy: 'password' })
      expect(acts[i]).toMatchObject({ role: 'signed', meaning: 'I vouch for it.', bendId: id })
    }
    expect(history.actsOn(2)).toEqual([])
    sign(counter)
    expect(history.verify()).toMatchObject({ intact: true, acts: { entries: 6 } })
    const parts = {
      ...{ history: certifiedBy(history), software: '0.1.0', signing: null },
      ...{ clock: { wallMs: () => Date.parse(AT) }, trace: async () => null },
    }
    const [sheet] = (await certify(parts, PIECE)).sheets
    for (const { deeds } of sheet?.bends ?? [])
      expect(deeds.map(({ who, what }) => `${who} ${what}`)).toEqual([
        'Rosa signed: “I vouch for it.”',
        'Ada counter-signed: “I vouch for it.”',
      ])
    expect(sheet?.bends).toHaveLength(3)
  })

  test('leaves out what the same person signed already, however the name is written, and says so', () => {
    for (let n = 1; n <= 3; n += 1) bend()
    signedBy(2, ' ROSA ')
    const { acts, leftOut } = sign()
    expect(acts.map(({ bendId }) => bendId)).toEqual([1, 3])
    expect(leftOut).toEqual([{ bend: 2, why: 'signed-already' }])
    expect(refusal(() => sign())).toEqual({
      ...{ code: 'nothing-to-do', field: 'role' },
      sentence: 'Rosa has signed every bend of piece 7 of Rail already, as it stands.',
    })
  })

  test('a bend that was amended since is signed anew, alone', () => {
    for (let n = 1; n <= 2; n += 1) bend()
    sign()
    act(1, { kind: 'amendment', field: 'note', from: null, to: 'Seen.', reason: 'Left out.' })
    expect(sign().acts.map(({ bendId }) => bendId)).toEqual([1])
  })

  test('a void bend has the whole refused, or is left out where that is said', () => {
    for (let n = 1; n <= 3; n += 1) bend()
    voided(2)
    expect(refusal(() => sign())).toEqual({
      ...{ code: 'not-signable', field: 'withoutVoid' },
      sentence:
        'Bend 2 is void, and what is void is not signed: leave void bends out, or let it count again; nothing was signed.',
    })
    const { acts, leftOut } = sign({ withoutVoid: true })
    expect(acts.map(({ bendId }) => bendId)).toEqual([1, 3])
    expect(leftOut).toEqual([{ bend: 2, why: 'void' }])
    for (const id of [1, 3]) voided(id)
    expect(refusal(() => sign({ withoutVoid: true })).sentence).toContain(
      'Every bend of piece 7 of Rail is void',
    )
  })

  test('nobody counter-signs an own signature, nor what nobody signed: the last bend at fault, and none is signed', () => {
    for (let n = 1; n <= 3; n += 1) bend()
    expect(refusal(() => sign(counter)).sentence).toBe(
      'Nobody has signed bend 1 as it stands: sign it first; nothing was signed.',
    )
    for (const id of [1, 2]) signedBy(id, 'Rosa')
    expect(refusal(() => sign(counter)).sentence).toContain('Nobody has signed bend 3')
    signedBy(3, 'ada')
    expect(refusal(() => sign(counter))).toEqual({
      ...{ code: 'not-signable', field: 'who' },
      sentence: 'Ada signed bend 3: another person has to counter-sign it; nothing was signed.',
    })
    expect(refusal(() => sign({ ...counter, who: 'Rosa' })).sentence).toContain(
      'Rosa signed bend 1',
    )
    signedBy(3, 'Rosa')
    expect(sign(counter).acts).toHaveLength(3)
  })

  test('a disk that refuses the third act leaves none', () => {
    for (let n = 1; n <= 3; n += 1) bend()
    const before = history.verify().acts
    const parts = {
      ...{ history, software: '0.1.0', clock: { wallMs: () => Date.parse(AT) } },
      teaching: () => [],
    }
    let entered = 0
    const addAct = (given: NewAct) => {
      entered += 1
      if (entered === 3) throw new Error('The disk refused.')
      return history.addAct(given)
    }
    const failing = makeBendActs({ ...parts, history: { ...history, addAct } })
    const ask = asked()
    expect(() => makePieceDesk(parts, failing).sign(ask, 'typed')).toThrow('The disk refused.')
    expect(history.verify().acts).toEqual(before)
    expect(sign().acts).toHaveLength(3)
  })
})

describe('a piece that is another than the signer saw is refused', () => {
  function changedBy(work: () => void) {
    for (let n = 1; n <= 3; n += 1) bend()
    signedBy(1, 'Olaf')
    const ask = asked()
    work()
    return refusal(() => desk.sign(ask, 'typed'))
  }

  test('a bend was added', () => {
    expect(changedBy(() => bend())).toEqual({
      ...{ code: 'changed-since', field: 'seen.bends' },
      sentence:
        'Piece 7 of Rail has 4 bends by now, and the page showed 3: look at it again; nothing was signed.',
    })
  })

  test('one was amended away, and another one recorded', () => {
    const swap = () => {
      act(1, { kind: 'amendment', field: 'piece', from: '7', to: '8', reason: 'Misread.' })
      bend()
    }
    expect(changedBy(swap)).toMatchObject({ code: 'changed-since', field: 'seen.newest.number' })
  })

  test('one was amended away, and an older one amended here', () => {
    bend(8)
    const swap = () => {
      act(2, { kind: 'amendment', field: 'piece', from: '7', to: '8', reason: 'Misread.' })
      act(1, { kind: 'amendment', field: 'piece', from: '8', to: '7', reason: 'Misread.' })
    }
    expect(changedBy(swap)).toMatchObject({ code: 'changed-since', field: 'seen.acts' })
  })

  test('somebody declared one void, or wrote a note to it', () => {
    expect(changedBy(() => void voided(2)).field).toBe('seen.acts')
    const ask = asked({ withoutVoid: true })
    act(3, { kind: 'note', text: 'The die was loose.' })
    expect(refusal(() => desk.sign(ask, 'typed')).sentence).toBe(
      'Piece 7 of Rail is another than the page showed, since somebody did something about it: look at it again; nothing was signed.',
    )
  })

  test('its newest record has another hash', () => {
    bend()
    const { seen } = desk.look(PIECE)
    const newest = { ...seen.newest, hash: '0'.repeat(64) }
    expect(refusal(() => sign({ seen: { ...seen, newest } })).field).toBe('seen.newest.hash')
  })
})

describe('many bends', () => {
  function filled(bends: number): void {
    history.close()
    const { job } = newBend(1)
    fillShop(dir, bends, { job: { ...job, ...PIECE } })
    open()
  }

  test('wait for a bend in hand, a usual piece does not', () => {
    filled(51)
    const ask = asked()
    isBending = true
    const sentence =
      'Somebody bends just now, and 51 bends would hold up the call of the stop: sign them once that bend is done.'
    expect(refusal(() => desk.sign(ask, 'typed'))).toMatchObject({ code: 'not-now', sentence })
    expect(refusal(() => desk.look(PIECE)).code).toBe('not-now')
    isBending = false
    expect(sign().acts).toHaveLength(51)
    act(51, { kind: 'amendment', field: 'piece', from: '7', to: '8', reason: 'Misread.' })
    isBending = true
    const eighth = { ...PIECE, piece: 8 }
    expect(sign({ ...eighth, seen: desk.look(eighth).seen }).acts).toHaveLength(1)
  })

  test('more than 600 are too many', () => {
    filled(601)
    expect(refusal(() => desk.look(PIECE))).toMatchObject({ code: 'not-signable', field: 'piece' })
  })
})
