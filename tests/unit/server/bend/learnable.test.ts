import { describe, expect, it } from 'vitest'
import { mayTeach, type TeachingBend } from '../../../../server/bend/learnable.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { priorFor } from '../../../../server/bend/springback.ts'
import { learn } from '../../../support/springback-alone.ts'

const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const prior = priorFor(tube, materialOf('316l-annealed'))

const good: TeachingBend = { peakDeg: 93, releasedDeg: 90.1, verdict: 'in' }
const why = (bend: Partial<TeachingBend>) => {
  const said = mayTeach({ ...good, ...bend })
  return said.learn ? 'learned' : said.why
}

describe('mayTeach', () => {
  it('takes an ordinary bend, with the row to learn', () => {
    const said = mayTeach(good)
    expect(said).toEqual({ learn: true, loadedDeg: 93, springbackDeg: 93 - 90.1 })
  })

  it.each(['in', 'under', 'over'] as const)('an angle that is %s teaches as well', (verdict) => {
    expect(why({ verdict })).toBe('learned')
  })

  it.each([
    ['unfinished', { verdict: 'incomplete' as const }, 'not finished'],
    [
      'let off unseen',
      { verdict: 'incomplete' as const, releasedDeg: null, releasedFrom: 'unknown' },
      'Where the tube stood is not known',
    ],
    ['no peak', { peakDeg: null }, 'No angle under load'],
    ['peak NaN', { peakDeg: Number.NaN }, 'No angle under load'],
    ['peak 0', { peakDeg: 0 }, 'No angle under load'],
    ['peak beyond a turn', { peakDeg: 400 }, 'No angle under load'],
    ['no plateau', { releasedDeg: null }, 'never stood still'],
    ['released NaN', { releasedDeg: Number.NaN }, 'never stood still'],
    ['no springback', { releasedDeg: 93 }, 'No springback'],
    ['springback below 0', { releasedDeg: 93.4 }, 'No springback'],
    ['all sprang back', { releasedDeg: 0 }, 'all the way back'],
    ['past the datum', { releasedDeg: -2 }, 'all the way back'],
  ])('%s does not teach, and says why', (_name, bend, words) => {
    expect(why(bend)).toContain(words)
    expect(why(bend)).toMatch(/[.?]$/)
  })

  it('a bend far from what was foreseen is for the shop to set apart: the next ones, or a person, may bear it out', () => {
    expect(why({ releasedDeg: 86 })).toBe('learned')
    expect(why({ releasedDeg: 60 })).toBe('learned')
  })

  it('more than half teaches nothing', () => {
    expect(why({ peakDeg: 10, releasedDeg: 4.9 })).toBe(
      'More than half of the 10.0° came back: no tube that takes a set does that.',
    )
    expect(why({ peakDeg: 10, releasedDeg: 5 })).toBe('learned')
  })

  it('what it passes, the model can learn', () => {
    const said = mayTeach(good)
    expect(said.learn && learn(prior, said).bends).toBe(1)
  })
})
