import { describe, expect, test } from 'vitest'
import { whatIsMissing } from '../../../../dashboard/live/what-is-missing.ts'
import { words } from '../../../../dashboard/words/en.ts'
import { linkState } from '../../../support/fake-state.ts'

const { lost } = words

describe('what is missing', () => {
  test('the daemon comes before all it says', () => {
    const said = whatIsMissing('lost', linkState('silent', 0), 2)
    expect(said).toEqual({ what: lost.socket, todo: lost.socketHint })
  })

  test.each(['silent', 'garbled', 'lost'] as const)('a %s wire says so itself', (fault) => {
    const link = linkState(fault, 0)
    expect(whatIsMissing('open', link, 0)).toEqual({ what: link.reason, todo: link.hint })
  })

  test('a sensor that calls its own readings bad is named', () => {
    expect(whatIsMissing('open', linkState(null, 9), 2).what).toBe(lost.quality)
  })

  test('an open wire without samples is named', () => {
    expect(whatIsMissing('open', linkState(null, 0), 0).what).toBe(lost.quiet)
  })

  test('a wire that gives no reason still gets a sentence', () => {
    const link = { ...linkState('silent', 0), reason: '', hint: '' }
    const { what, todo } = whatIsMissing('open', link, 0)
    expect([what, todo]).toEqual([lost.quiet, lost.quietHint])
  })

  test('before the first message the page waits', () => {
    expect(whatIsMissing('opening', null, 2).what).toBe(lost.opening)
    expect(whatIsMissing('open', null, 2).what).toBe(lost.opening)
  })
})
