import { describe, expect, test } from 'vitest'
import { serialWords, tcpWords } from '../../../../server/link/port-words.ts'

describe('what is said of a serial port', () => {
  const words = serialWords(9600)
  test('names the port and the rate, and what to do', () => {
    expect(words.wire('live', '/dev/x')).toEqual({ reason: '', hint: '' })
    expect(words.wire('silent', '/dev/x').reason).toBe('Nothing arrives on /dev/x.')
    const garbled = words.wire('garbled', '/dev/x')
    expect(garbled.reason).toContain('9600 baud')
    expect(garbled.hint).toContain('--baud')
    expect(words.wire('waiting', '/dev/x').reason).toContain('/dev/x is open')
    expect(words.gone('/dev/x').reason).toContain('/dev/x has gone')
  })
})

describe('what is said of a converter on the network', () => {
  const failure = (code: string) => Object.assign(new Error(`connect ${code}`), { code })
  test.each([
    ['ECONNREFUSED', 'Nothing takes connections at a:1.'],
    ['ENOTFOUND', 'There is no machine of the name in a:1.'],
    ['ETIMEDOUT', 'a:1 does not answer.'],
    ['EHOSTUNREACH', 'a:1 does not answer.'],
    ['EWHATEVER', 'a:1 could not be reached: connect EWHATEVER.'],
  ])('%s: %s', (code, reason) => {
    const trouble = tcpWords.trouble('a:1', failure(code))
    expect(trouble.reason).toBe(reason)
    expect(trouble.hint).toMatch(/\.$/)
  })

  test('is one sentence for each state, and never speaks of a port', () => {
    const said = [
      tcpWords.gone('a:1'),
      ...(['waiting', 'silent', 'garbled'] as const).map((state) => tcpWords.wire(state, 'a:1')),
    ]
    for (const { reason, hint } of said) {
      expect(reason).toMatch(/^[^.]*a:1[^.]*\.$/)
      expect(hint).toMatch(/^([^.]+\.)?$/)
      expect(`${reason} ${hint}`).not.toMatch(/\bport\b/)
    }
    expect(tcpWords.wire('live', 'a:1')).toEqual({ reason: '', hint: '' })
  })
})
