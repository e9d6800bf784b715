import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import {
  BOAT_RAIL,
  fieldOf,
  problemsOf,
  readForm,
  textsOf,
} from '../../../../../dashboard/pages/setup/fields.ts'
import { words } from '../../../../../dashboard/words/en.ts'
import { length } from '../../../../../dashboard/words/format.ts'
import { Job } from '../../../../../server/messages/setup.ts'
import { checkJob } from '../../../../../server/station/check-job.ts'
import { SHOP_SETUP } from '../../../../support/fake-bend.ts'

const jobOf = (change: object) => readForm({ ...BOAT_RAIL, ...change }, 'mm', SHOP_SETUP.sensor).job

describe('the tolerance and the plan in the set-up form', () => {
  test('a class and a leg in either unit give the tolerance the daemon expects', () => {
    for (const [leg, legMm] of [
      ['100', 100],
      ['4in', 101.6],
    ] as const) {
      const job = jobOf({ toleranceFrom: 'm', leg, tolerance: '' })
      expect(job).toMatchObject({
        toleranceDeg: 0.333333,
        toleranceBy: { toleranceClass: 'm', shorterLegMm: legMm },
      })
      expect(Value.Check(Job, job)).toBe(true)
      expect(() => checkJob(job)).not.toThrow()
    }
  })

  test('an own tolerance says nothing of a class, whatever leg was typed before', () => {
    const job = jobOf({ leg: '100' })
    expect(job.toleranceDeg).toBe(0.5)
    expect(job).not.toHaveProperty('toleranceBy')
    expect(job).not.toHaveProperty('sampling')
  })

  test('what is wrong is answered beside its field', () => {
    const wrong = (change: object) => problemsOf({ ...BOAT_RAIL, ...change }, 'mm')
    for (const leg of ['', '0', 'long', '-3'])
      expect(wrong({ toleranceFrom: 'm', leg })).toEqual({ leg: words.setup.notLength })
    expect(wrong({ toleranceFrom: 'm', leg: '100', tolerance: '' })).toEqual({})
    expect(wrong({ plan: 'plan', everyNth: 'ten', lastPiece: '1.5' })).toEqual({
      everyNth: words.setup.notWhole,
      lastPiece: words.setup.notWhole,
    })
    expect(wrong({ plan: '', everyNth: 'ten' })).toEqual({})
    expect(fieldOf('/sampling/everyNth')).toBe('everyNth')
    expect(fieldOf('toleranceBy.shorterLegMm')).toBe('leg')
  })

  test('the job in force fills the form again', () => {
    const typed = { toleranceFrom: 'c', leg: '60', plan: 'plan', everyNth: '10', lastPiece: '' }
    const job = jobOf(typed)
    expect(job.sampling).toEqual({ everyNth: 10, lastPiece: null })
    const texts = textsOf(SHOP_SETUP, job, (mm) => length(mm, 'mm'))
    expect(readForm(texts, 'mm', SHOP_SETUP.sensor).job).toEqual(job)
  })
})
