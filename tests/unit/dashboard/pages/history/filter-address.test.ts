import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import {
  addressOf,
  addressOfPlace,
  askedFilter,
  type Filter,
  queryOfFilter,
  readFilter,
  readPlace,
  typedFilter,
} from '../../../../../dashboard/pages/history/filter-address.ts'
import { BendFilter } from '../../../../../server/messages/find.ts'

const ALL: Filter = {
  ...{ part: 'Rail & ladder', piece: '17', lot: 'A/7 + B', verdict: 'under' },
  ...{ firstDay: '2026-01-05', lastDay: '2026-02-28', text: 'слип "<b>" سكة 🔧' },
  ...{ die: 'R 50', station: 'Left', operator: 'O 1', readout: 'either' },
  ...{ amended: 'yes', voided: 'no', signed: 'yes', noted: 'no', clock: 'set-back', due: 'yes' },
  ...{ daysBack: '30', from: '2026-01-05T07:00:00Z', to: '2026-02-28' },
  undecidedSince: '2026-02-01T08:00:00+01:00',
  simulated: 'no',
}

describe('the filter in the address', () => {
  test('comes back as it was written, with every condition set', () => {
    const address = addressOf('#/history', ALL)
    expect(readFilter(address)).toEqual({ filter: ALL, problems: [] })
  })

  test('is one the daemon takes, with every condition set', () => {
    const asked = askedFilter(readFilter(addressOf('', ALL)).filter)
    expect(Value.Check(BendFilter, asked)).toBe(true)
    expect(Object.keys(asked)).toHaveLength(queryOfFilter(ALL).size)
    expect(typedFilter(asked)).toEqual(ALL)
  })

  test.each([
    [200, 0],
    [201, 1],
  ])(
    'words of %s letters, whatever their letters, make %s problems, as the daemon counts',
    (letters, problems) => {
      const text = '🔧'.repeat(letters)
      const read = readFilter(addressOf('#/history', { text }))
      expect(read.problems).toHaveLength(problems)
      expect(Value.Check(BendFilter, { text })).toBe(problems === 0)
    },
  )

  test('has every condition that the daemon has', () => {
    expect(Object.keys(ALL).toSorted()).toEqual(Object.keys(BendFilter.properties).toSorted())
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
    ['daysBack=0', 'Days back'],
    ['daysBack=3661', '3660'],
    ['from=soon', '2026-01-31T08:00:00Z'],
    ['verdict=good', 'in, under, over, incomplete'],
    ['amended=maybe', 'yes, no'],
    ['readout=constructor', 'overdue, failed, either, good, none'],
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

describe('the page of a list in the address', () => {
  test('comes back, and begins at the newest without one', () => {
    const address = addressOfPlace(ALL, 4711)
    expect(readPlace(address)).toEqual({ filter: ALL, before: 4711, problems: [] })
    expect(addressOfPlace({}, null)).toBe('#/history')
    expect(readPlace(addressOfPlace({}, 7))).toMatchObject({ filter: {}, before: 7 })
    expect(readPlace('#/history?before=')).toMatchObject({ before: null, problems: [] })
  })

  test.each(['0', '-3', '1.5', 'x'.repeat(300), '9'.repeat(17)])(
    'before=%s is dropped alone',
    (wrong) => {
      const { filter, before, problems } = readPlace(`#/history?lot=L1&before=${wrong}`)
      expect({ filter, before }).toEqual({ filter: { lot: 'L1' }, before: null })
      expect(problems).toHaveLength(1)
      expect(problems[0]).toContain('the newest are shown')
    },
  )
})
