import { describe, expect, test } from 'vitest'
import { fieldFor, whatToDo } from '../../../../dashboard/live/what-to-do.ts'
import { words } from '../../../../dashboard/words/en.ts'
import { CUES, PHASES, type Result } from '../../../../server/messages/live.ts'

const result = (more: Partial<Result>): Result => ({
  bendId: null,
  go: {
    commandedDeg: 93,
    cueDeg: 92,
    cueRateDegPerS: 2,
    peakDeg: 93.1,
    peakAtS: 8,
    releasedDeg: 89.7,
    releasedSeDeg: 0.01,
    releasedAtS: 10,
    strokes: 1,
  },
  verdict: 'in',
  errorDeg: -0.3,
  expandedUncertaintyDeg: 0.1,
  againDeg: null,
  goingAgain: false,
  learnedWhy: null,
  ...more,
})

/** Let off under a sensor that does not show where the tube stands. */
const HIDDEN = { ...result({}).go, releasedDeg: null, releasedFrom: 'unknown' } as const

const moment = { phase: 'bending', cue: 'bend', result: null, fresh: true } as const

describe('the word for what to do', () => {
  test.each([
    ['no-datum', 'none', 'seat', 'thenDatum'],
    ['seated', 'none', 'bend', 'none'],
    ['bending', 'none', 'bend', 'none'],
    ['bending', 'bend', 'bend', 'none'],
    ['bending', 'ease', 'ease', 'none'],
    ['bending', 'stop', 'stop', 'none'],
    ['bending', 'over', 'past', 'backOff'],
    ['held', 'bend', 'bend', 'goOn'],
    ['held', 'ease', 'bend', 'goOn'],
    ['held', 'stop', 'letOff', 'none'],
    ['held', 'over', 'past', 'backOff'],
    ['letting-off', 'stop', 'letOff', 'none'],
    ['settled', 'none', 'wait', 'none'],
  ] as const)('in %s with the cue %s is %s, %s', (phase, cue, word, tail) => {
    expect(whatToDo({ ...moment, phase, cue })).toMatchObject({ word, tail })
  })

  test.each([
    [result({}), 'in', 'accept', null],
    [result({ bendId: 7 }), 'in', 'recorded', null],
    [result({ verdict: 'over', errorDeg: 0.8, bendId: 7 }), 'over', 'recorded', 0.8],
    [result({ verdict: 'over', errorDeg: 0.8 }), 'over', 'record', 0.8],
    [result({ verdict: 'under', errorDeg: -1, againDeg: 94.1 }), 'under', 'again', 94.1],
    [result({ verdict: 'under', againDeg: 94.1, goingAgain: true }), 'bend', 'upTo', 94.1],
    [result({ verdict: 'incomplete', go: HIDDEN }), 'check', 'finder', null],
    [result({ verdict: 'incomplete', go: HIDDEN, bendId: 4 }), 'wait', 'none', null],
    [result({ verdict: 'under', errorDeg: -1 }), 'under', 'record', -1],
    [result({ verdict: 'incomplete' }), 'wait', 'none', null],
  ] as const)('after letting off follows the verdict: case %#', (outcome, word, tail, angleDeg) => {
    const said = whatToDo({ ...moment, phase: 'settled', result: outcome })
    expect(said).toEqual({ word, tail, angleDeg })
  })

  test('speaks of no part as accepted that is out of tolerance', () => {
    for (const verdict of ['over', 'under'] as const) {
      const { word, tail } = whatToDo({
        ...moment,
        phase: 'settled',
        result: result({ verdict, errorDeg: 76.6 }),
      })
      const said = `${words.what[word]} ${words.tail[tail]('+76.6°')}`
      expect(said).toContain('by +76.6°, record it')
      expect(said).not.toContain('accept')
    }
  })

  test('is to wait whenever no degrees arrive, whatever was last heard', () => {
    for (const phase of PHASES)
      for (const cue of CUES)
        expect(whatToDo({ phase, cue, result: result({}), fresh: false }).word).toBe('wait')
  })

  test('has a text for every moment there is, of two words at most', () => {
    for (const phase of PHASES)
      for (const cue of CUES)
        for (const outcome of [null, result({}), result({ verdict: 'under', againDeg: 94 })]) {
          const { word } = whatToDo({ phase, cue, result: outcome, fresh: true })
          expect(words.what[word].split(' ').length).toBeLessThanOrEqual(2)
        }
  })
})

describe('the field', () => {
  test('turns over at the stop and past it, and only under load', () => {
    const turned = PHASES.flatMap((phase) =>
      CUES.filter((cue) => fieldFor(phase, cue) !== 'calm').map((cue) => `${phase} ${cue}`),
    )
    expect(turned).toEqual(['bending stop', 'bending over', 'held stop', 'held over'])
  })

  test('tells the stop from past it', () => {
    expect(fieldFor('bending', 'stop')).not.toBe(fieldFor('bending', 'over'))
  })
})
