import { describe, expect, it } from 'vitest'
import type { FirstBend } from '../../../../server/bend/first-bend.ts'
import { sectionEstimates } from '../../../../server/bend/section-estimates.ts'
import { sentencesOf } from '../../../../server/commands/predict-sentences.ts'

const asked = { od: 38.1, wall: 1.65, clr: 114.3, angle: 90 }
const bend: FirstBend = {
  secondMomentMm4: 31443.1,
  momentNm: 1125.4,
  slope: 0.0212,
  interceptDeg: 0,
  loadedDeg: 91.949,
  springbackDeg: 1.949,
  lowDeg: null,
  highDeg: null,
  releasedRadiusMm: 116.78,
  note: null,
  estimates: sectionEstimates({ odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }),
  warnings: [],
}

describe('sentencesOf', () => {
  it('one line a figure, in one column', () => {
    const lines = sentencesOf(asked, bend)
    expect(lines.map((line) => line.slice(0, 15).trimEnd())).toEqual([
      'Tube',
      'Load to',
      'Springback',
      'Comes back',
      'Bending moment',
      'Second moment',
      'Radius after',
      'Estimates',
    ])
    expect(lines[2]).toBe('Springback     1.95°')
    expect(lines[3]).toBe('Comes back     2.12 % of the loaded angle')
    expect(lines[6]).toBe('Radius after   116.8 mm')
  })

  it('the interval and the intercept where there are any', () => {
    const lines = sentencesOf(asked, { ...bend, interceptDeg: 0.5, lowDeg: 1.2, highDeg: 2.7 })
    expect(lines[2]).toBe('Springback     1.95° (95 %: 1.20° to 2.70°)')
    expect(lines[3]).toBe('Comes back     2.12 % of the loaded angle and 0.50°')
  })

  it('inches come back without a tail', () => {
    const lines = sentencesOf({ ...asked, od: 38.099999999999994 }, bend)
    expect(lines[0]).toBe(
      'Tube           38.1 × 1.65 mm on a centreline radius of 114.3 mm, 90° wanted',
    )
  })

  it('each warning on its own line, after the estimates', () => {
    const warning = {
      code: 'flattens',
      sentence: 'It flattens (estimate).',
      source: 'a source',
    } as const
    const lines = sentencesOf(asked, { ...bend, warnings: [warning, warning] })
    expect(lines.slice(-2)).toEqual(Array(2).fill('Beware         It flattens (estimate).'))
  })

  it('no set: no angle, no radius, no estimates, and the note last', () => {
    const none = { loadedDeg: null, springbackDeg: null, releasedRadiusMm: null }
    const lines = sentencesOf(asked, { ...bend, ...none, slope: 1, note: 'It takes no set.' })
    expect(lines[1]).toBe('Load to        no angle')
    expect(lines[2]).toBe('Springback     all or most of it')
    expect(lines.at(-1)).toBe('It takes no set.')
    expect(lines.join('\n')).not.toMatch(/Radius after|Estimates|Beware/)
  })
})
