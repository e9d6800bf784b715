import { describe, expect, test } from 'vitest'
import type { Job } from '../../../../server/messages/setup.ts'
import { checkJob } from '../../../../server/station/check-job.ts'
import { SHOP_JOB } from '../../../support/fake-bend.ts'

const by = (toleranceClass: 'f' | 'm' | 'c' | 'v', shorterLegMm: number, toleranceDeg: number) =>
  ({ ...SHOP_JOB, toleranceDeg, toleranceBy: { toleranceClass, shorterLegMm } }) satisfies Job

/** Minutes of ISO 2768-1:1989, table 3, as in tests/outside/capability.test.ts. */
describe('a job whose tolerance is of a class', () => {
  test.each([
    by('m', 100, 20 / 60),
    by('m', 100, 0.333333),
    by('f', 500, 0.083333),
    by('v', 8, 3),
    SHOP_JOB,
  ])('%j is taken', (job) => expect(() => checkJob(job)).not.toThrow())

  test.each([
    [by('m', 100, 0.5), 'A leg of 100 mm has ±0.333333° in class m of ISO 2768-1, not ±0.5°.'],
    [
      by('c', 400, 0.166667),
      'A leg of 400 mm has ±0.250000° in class c of ISO 2768-1, not ±0.166667°.',
    ],
    [by('v', 8, Number.NaN), 'A leg of 8 mm has ±3.000000° in class v of ISO 2768-1, not ±NaN°.'],
  ])('%j is refused', (job, sentence) => {
    expect(() => checkJob(job)).toThrow(
      expect.objectContaining({ code: 'TOLERANCE_CLASS', message: sentence }),
    )
  })
})
