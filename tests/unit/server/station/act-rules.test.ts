import { describe, expect, test } from 'vitest'
import type { Act, ActAsk, ActKind } from '../../../../server/messages/acts.ts'
import {
  amendmentsOf,
  recordedText,
  signaturesOf,
  standingText,
  voidedBy,
} from '../../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../../server/messages/bends.ts'
import { demandPlace } from '../../../../server/station/act-rules.ts'
import { Refused } from '../../../../server/web/station-door.ts'
import { EXAMPLE_ASKS } from '../../../support/example-acts.ts'
import { newBend } from '../history/shop.ts'

const { job, tube, ...rest } = newBend(1, { checkedDeg: 90.25 })
const BEND = {
  ...{ id: 7, ...rest, job, tube, lot: tube.lot, part: job.part, piece: job.piece },
  ...{ bendNumber: job.bendNumber, operator: job.operator },
} as Bend

const amend = (field: ActAsk<'amendment'>['field'], from: string | null, to: string | null) =>
  ({ kind: 'amendment', who: 'Quality', field, from, to, reason: 'Misread.' }) as Act
const act = (kind: ActKind, change: object = {}) =>
  ({ kind, ...EXAMPLE_ASKS[kind], ...change }) as Act

const photoOf = (sha256: string) =>
  sha256 === EXAMPLE_ASKS.photo.sha256
    ? { type: 'image/png' as const, bytes: EXAMPLE_ASKS.photo.bytes }
    : null

function refusal<K extends ActKind>(
  kind: K,
  ask: ActAsk<K>,
  acts: readonly Act[] = [],
  bend = BEND,
) {
  try {
    demandPlace(kind, { bend, acts, photo: photoOf }, ask)
    return null
  } catch (error) {
    if (error instanceof Refused)
      return { code: error.code, field: error.field, message: error.message }
    throw error
  }
}

describe('an amendment', () => {
  const ask = (field: ActAsk<'amendment'>['field'], from: string | null, to: string | null) => ({
    ...{ who: 'Quality', field, from, to, reason: 'Misread.' },
  })

  test.each([
    ['operator', 'Operator 2', 'Operator 3'],
    ['part', 'Ladder', 'Rail <b>'],
    ['piece', '1', '1000000'],
    ['bendNumber', '1', '999'],
    ['lot', 'L-1', 'מנה'],
    ['checkedDeg', '90.25', '90.3'],
    ['checkedDeg', '90.25', '-0.5'],
    ['checkedDeg', '90.25', null],
    ['gauge', null, 'Angle finder 3'],
    ['note', null, 'Two\nlines'],
  ] as const)('of %s from %s to %s has its place', (field, from, to) => {
    expect(refusal('amendment', ask(field, from, to))).toBeNull()
  })

  test.each([
    ['operator', 'Operator 2', ''],
    ['operator', 'Operator 2', ' '],
    ['operator', 'Operator 2', null],
    ['operator', 'Operator 2', 'x'.repeat(81)],
    ['piece', '1', '0'],
    ['piece', '1', '1000001'],
    ['piece', '1', '1.5'],
    ['piece', '1', '01'],
    ['bendNumber', '1', '1000'],
    ['bendNumber', '1', '١'],
    ['checkedDeg', '90.25', '90,3'],
    ['checkedDeg', '90.25', 'ninety'],
    ['checkedDeg', '90.25', '3601'],
    ['checkedDeg', '90.25', '1e2'],
    ['checkedDeg', '90.25', 'NaN'],
    ['gauge', null, ' '],
    ['note', null, ''],
  ] as const)('of %s from %s to %j is refused at `to`', (field, from, to) => {
    expect(refusal('amendment', ask(field, from, to))).toMatchObject({
      code: 'bad-input',
      field: 'to',
    })
  })

  test('of the angle finder begins with the one that the job named, where it was used', () => {
    const named = (checkedDeg: number | null) => ({
      ...BEND,
      checkedDeg,
      job: { ...BEND.job, angleFinder: 'F-3' },
    })
    expect(recordedText(named(90.25), 'gauge')).toBe('F-3')
    expect(recordedText(named(null), 'gauge')).toBeNull()
    expect(recordedText(BEND, 'gauge')).toBeNull()
  })

  test('is refused when another value stands there by now', () => {
    const acts = [amend('operator', 'Operator 2', 'Operator 3')]
    expect(refusal('amendment', ask('operator', 'Operator 2', 'Operator 1'), acts)).toEqual({
      code: 'changed-since',
      field: 'from',
      message: 'Of bend 7 operator is "Operator 3", not "Operator 2": look at it again.',
    })
    expect(refusal('amendment', ask('operator', 'Operator 3', 'Operator 1'), acts)).toBeNull()
  })

  test('that changes nothing is refused', () => {
    expect(refusal('amendment', ask('lot', 'L-1', 'L-1'))).toMatchObject({
      code: 'nothing-to-do',
      field: 'to',
    })
  })

  test('of the note starts from the last note, and the last of both stands', () => {
    const acts = [act('note', { text: 'One' }), amend('note', 'One', 'Two')]
    expect(standingText(BEND, acts, 'note')).toBe('Two')
    expect(standingText(BEND, [...acts, act('note', { text: 'Three' })], 'note')).toBe('Three')
  })

  test('taken back leaves nothing amended; the recorded value is never touched', () => {
    const there = amend('piece', '1', '2')
    expect(amendmentsOf(BEND, [there])).toEqual([there])
    expect(amendmentsOf(BEND, [there, amend('piece', '2', '1')])).toEqual([])
    expect(BEND.piece).toBe(1)
  })
})

describe('void', () => {
  test('once, and counting again only what is void', () => {
    expect(refusal('void', EXAMPLE_ASKS.void)).toBeNull()
    expect(refusal('void', EXAMPLE_ASKS.void, [act('void')])).toMatchObject({
      code: 'nothing-to-do',
    })
    expect(refusal('reinstated', EXAMPLE_ASKS.reinstated)).toMatchObject({ code: 'nothing-to-do' })
    expect(refusal('reinstated', EXAMPLE_ASKS.reinstated, [act('void')])).toBeNull()
    expect(voidedBy([act('void'), act('reinstated'), act('note')])).toBeNull()
  })

  test('is not put back by a decision on teaching', () => {
    expect(refusal('teaching', EXAMPLE_ASKS.teaching, [act('void')])).toMatchObject({
      code: 'teaches-nothing',
      field: 'decision',
    })
  })
})

describe('a signature', () => {
  const sign = (who: string, role: ActAsk<'signature'>['role'] = 'signed') => ({
    ...{ who, role, meaning: 'I have checked this record.' },
  })
  const signed = act('signature', sign('Quality'))

  test('is counter-signed by another person only', () => {
    expect(refusal('signature', sign('Quality'))).toBeNull()
    const counter = (who: string, acts: readonly Act[]) =>
      refusal('signature', sign(who, 'counter-signed'), acts)
    expect(counter('Review', [])).toMatchObject({ code: 'not-signable', field: 'role' })
    for (const who of ['Quality', 'quality', ' QUALITY ', 'Qual\u200Bity', 'Quality\u2060'])
      expect(counter(who, [signed])).toMatchObject({ code: 'not-signable', field: 'who' })
    expect(counter('Review', [signed])).toBeNull()
  })

  test('stands once for each person', () => {
    expect(refusal('signature', sign('Quality'), [signed])).toMatchObject({ code: 'nothing-to-do' })
    expect(refusal('signature', sign('Second'), [signed])).toBeNull()
  })

  test('does not reach over an amendment, a void or its end; over a note it does', () => {
    for (const kind of ['amendment', 'void', 'reinstated'] as const)
      expect(signaturesOf([signed, act(kind)])).toEqual([])
    for (const kind of ['note', 'teaching'] as const)
      expect(signaturesOf([signed, act(kind)])).toEqual([signed])
    const acts = [signed, act('amendment')]
    expect(refusal('signature', sign('Quality'), acts)).toBeNull()
    expect(refusal('signature', sign('Review', 'counter-signed'), acts)).toMatchObject({
      code: 'not-signable',
    })
  })

  test('has no place on a void bend', () => {
    expect(refusal('signature', sign('Quality'), [act('void')])).toMatchObject({
      code: 'not-signable',
    })
  })
})

describe('an inspection', () => {
  const nothing = { largestOdMm: null, smallestOdMm: null, wallMm: null, looks: null } as const
  const ask = (change: Partial<ActAsk<'inspection'>>): ActAsk<'inspection'> => ({
    ...{ who: 'Quality', gauge: 'Caliper', flaws: [], limits: null, remark: null },
    ...nothing,
    ...change,
  })

  test.each([
    EXAMPLE_ASKS.inspection,
    ask({ looks: 'good' }),
    ask({ looks: 'flawed', remark: 'A dent.' }),
    ask({ looks: 'flawed', flaws: ['crack'] }),
    ask({ wallMm: 1.4 }),
    ask({ largestOdMm: 39, smallestOdMm: 39 }),
  ])('%j has its place', (one) => expect(refusal('inspection', one)).toBeNull())

  test.each([
    [ask({}), 'looks', /say what was measured or seen/],
    [ask({ largestOdMm: 39 }), 'smallestOdMm', /smallestOdMm is missing/],
    [ask({ smallestOdMm: 37 }), 'largestOdMm', /largestOdMm is missing/],
    [ask({ largestOdMm: 37, smallestOdMm: 39 }), 'smallestOdMm', /look which is which/],
    [
      ask({ largestOdMm: 1.52, smallestOdMm: 1.48 }),
      'smallestOdMm',
      /tube of 38\.1 mm: look at the unit/,
    ],
    [ask({ largestOdMm: 381, smallestOdMm: 37 }), 'largestOdMm', /look at the unit/],
    [ask({ wallMm: 19.05 }), 'wallMm', /no wall of a tube of 38\.1 mm/],
    [ask({ looks: 'flawed' }), 'flaws', /say what is wrong/],
    [ask({ looks: 'good', flaws: ['crack'] }), 'looks', /not said to be flawed/],
    [
      ask({ looks: 'good', limits: { code: 'C-1', ovality: null, thinningMaxPercent: null } }),
      'limits',
      /names C-1 and no limit/,
    ],
    [
      ask({
        looks: 'good',
        limits: { code: 'C-1', ovality: { by: 'ratio', limit: 90 }, thinningMaxPercent: null },
      }),
      'limits.ovality.limit',
      /no ratio/,
    ],
  ])('%j is refused at %s', (one, field, message) => {
    expect(refusal('inspection', one)).toMatchObject({
      code: 'bad-input',
      field,
      message: expect.stringMatching(message),
    })
  })
})

describe('a photo', () => {
  test('was handed in before, as it is said to be, and is put to a bend once', () => {
    expect(refusal('photo', EXAMPLE_ASKS.photo)).toBeNull()
    for (const other of [{ sha256: '0'.repeat(64) }, { type: 'image/jpeg' as const }, { bytes: 1 }])
      expect(refusal('photo', { ...EXAMPLE_ASKS.photo, ...other })).toMatchObject({
        code: 'bad-input',
        field: 'sha256',
      })
    expect(refusal('photo', EXAMPLE_ASKS.photo, [act('photo')])).toMatchObject({
      code: 'nothing-to-do',
    })
  })
})
