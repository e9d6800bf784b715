import { describe, expect, it } from 'vitest'
import { mayTeach, type TeachingBend } from '../../../../server/bend/learnable.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { priorFor } from '../../../../server/bend/springback.ts'
import { learn } from '../../../support/springback-alone.ts'

const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const prior = priorFor(tube, materialOf('316l-annealed'))
/** Expected to give back more than a quarter of a small bend. */
const springy = priorFor({ odMm: 12, wallMm: 1, clrMm: 300 }, materialOf('ti-grade-9'))

const good: TeachingBend = { peakDeg: 93, releasedDeg: 90.1, verdict: 'in' }
const why = (bend: Partial<TeachingBend>, model = prior) => {
  const said = mayTeach(model, { ...good, ...bend })
  return said.learn ? 'learned' : said.why
}

describe('mayTeach', () => {
  it('takes an ordinary bend, with the row to learn', () => {
    const said = mayTeach(prior, good)
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
    ['more than a quarter', { releasedDeg: 60 }, 'did the clamp slip?'],
  ])('%s does not teach, and says why', (_name, bend, words) => {
    expect(why(bend)).toContain(words)
    expect(why(bend)).toMatch(/[.?]$/)
  })

  it('names both angles when it doubts a bend', () => {
    expect(why({ releasedDeg: 60 })).toBe('33.0° came back, 3.1° was expected: did the clamp slip?')
  })

  it('a first bend far from its prior is for the shop to set apart: the next ones may bear it out', () => {
    expect(why({ releasedDeg: 86 })).toBe('learned')
  })

  it('a share of more than a quarter teaches where the mechanics foresees it', () => {
    const bend = { peakDeg: 10, releasedDeg: 6.5 }
    expect(why(bend, springy)).toBe('learned')
    expect(why(bend)).toContain('did the clamp slip?')
  })

  it('more than half teaches nothing, foreseen or not', () => {
    for (const model of [prior, springy]) {
      expect(why({ peakDeg: 10, releasedDeg: 4.9 }, model)).toBe(
        'More than half of the 10.0° came back: no tube that takes a set does that.',
      )
      expect(why({ peakDeg: 10, releasedDeg: 5 }, springy)).toBe('learned')
    }
  })

  it('what it passes, the model can learn', () => {
    const said = mayTeach(prior, good)
    expect(said.learn && learn(prior, said).bends).toBe(1)
  })
})
