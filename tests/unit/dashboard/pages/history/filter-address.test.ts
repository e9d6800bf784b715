import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import {
  addressOf,
  type Filter,
  queryOfFilter,
  readFilter,
} from '../../../../../dashboard/pages/history/filter-address.ts'
import { BendFilter } from '../../../../../server/messages/find.ts'

const ALL: Filter = {
  ...{ part: 'Rail & ladder', piece: '17', lot: 'A/7 + B', verdict: 'under' },
  ...{ firstDay: '2026-01-05', lastDay: '2026-02-28', text: 'слип "<b>" سكة 🔧' },
  ...{ die: 'R 50', station: 'Left', operator: 'O 1', readout: 'either' },
  ...{ amended: 'yes', voided: 'no', signed: 'yes', noted: 'no', clock: 'set-back' },
}

describe('the filter in the address', () => {
  test('comes back as it was written, with every condition set', () => {
    const address = addressOf('#/history', ALL)
    expect(readFilter(address)).toEqual({ filter: ALL, problems: [] })
  })

  test('is one the daemon takes, with every condition set', () => {
    const { piece, ...rest } = Object.fromEntries(queryOfFilter(ALL))
    expect(Value.Check(BendFilter, { ...rest, piece: Number(piece) })).toBe(true)
  })

  test('two filters that ask the same have the same address', () => {
    const one = addressOf('#/history', { lot: 'A', part: 'P' })
    expect(addressOf('#/history', { part: ' P ', lot: 'A', die: ' ' })).toBe(one)
  })

  test.each(['', '#/history', '#/history?', '#/history?part=', '#/history?part=+'])(
    '"%s" asks for nothing',
    (address) => {
      expect(readFilter(address)).toEqual({ filter: {}, problems: [] })
      expect(addressOf('#/history', {})).toBe('#/history')
    },
  )

  test.each([
    ['piece=0', 'Piece'],
    ['piece=1.5', 'Piece'],
    ['piece=1000001', 'Piece'],
    ['verdict=good', 'in, under, over, incomplete'],
    ['amended=maybe', 'yes, no'],
    ['readout=constructor', 'overdue, failed, either'],
    ['clock=forward', 'set-back'],
    ['firstDay=2026-02-30', '2026-01-31'],
    ['lastDay=yesterday', '2026-01-31'],
    [`part=${'x'.repeat(81)}`, '80 characters'],
    [`text=${'x'.repeat(201)}`, '200 characters'],
    ['toString=1', '"toString"'],
  ])('%s is dropped alone and said in one sentence', (wrong, said) => {
    const { filter, problems } = readFilter(`#/history?lot=L1&${wrong}&piece=17`)
    expect(filter).toEqual({ lot: 'L1', piece: '17' })
    expect(problems).toHaveLength(1)
    expect(problems[0]).toContain(said)
    expect(problems[0]?.length).toBeLessThan(200)
  })
})
