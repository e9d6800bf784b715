import { describe, expect, test } from 'vitest'
import { certificateOf } from '../../../../../dashboard/pages/history/certificate-of.ts'

describe('the certificate of what a filter finds', () => {
  test.each([
    [{ lot: 'RT-2207' }, 'Certificate of this lot', 'lot=RT-2207'],
    [{ part: 'BR-5', piece: '17' }, 'Certificate of this piece', 'part=BR-5&piece=17'],
    [
      { piece: '17', lot: 'RT-2207', part: 'BR-5' },
      'Certificate of this piece',
      'part=BR-5&piece=17&lot=RT-2207',
    ],
    [{ lot: 'A & B', verdict: ' ' }, 'Certificate of this lot', 'lot=A+%26+B'],
  ])('%o', (filter, name, query) => {
    const offered = certificateOf(filter, 3)
    expect(offered).toMatchObject({ name, tooMany: null })
    expect(String(offered?.query)).toBe(query)
  })

  test.each([
    {},
    { part: 'BR-5' },
    { piece: '17' },
    { piece: '17', lot: 'RT-2207' },
    { part: 'BR-5', lot: 'RT-2207' },
    { lot: 'RT-2207', verdict: 'in' },
    { part: 'BR-5', piece: '17', daysBack: '3' },
  ])('%o is neither a lot nor a piece alone', (filter) => {
    expect(certificateOf(filter, 3)).toBeNull()
  })

  test('none of nothing; of more than one holds, why', () => {
    expect(certificateOf({ lot: 'RT-2207' }, 0)).toBeNull()
    expect(certificateOf({ lot: 'RT-2207' }, 600)?.tooMany).toBeNull()
    expect(certificateOf({ lot: 'RT-2207' }, 601)?.tooMany).toContain('more than 600 bends')
  })
})
