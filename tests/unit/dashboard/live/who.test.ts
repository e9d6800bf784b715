import { describe, expect, test } from 'vitest'
import { lacksName, nameOf, whoActs } from '../../../../dashboard/live/who.ts'
import type { Here } from '../../../../server/messages/people.ts'

const OPEN: Here = { isOpenShop: true, person: null, mayBeFirst: true }
const SHUT: Here = { isOpenShop: false, person: null, mayBeFirst: false }
const ADA: Here = { ...SHUT, person: { name: 'Ada', role: 'operator', isActive: true } }

describe('who acts at a page', () => {
  test.each([
    [{ value: null, problem: null }, 'asked', false],
    [{ value: null, problem: 'The daemon does not answer.' }, 'typed', true],
    [{ value: OPEN, problem: null }, 'typed', true],
    [{ value: SHUT, problem: null }, 'nobody', false],
    [{ value: ADA, problem: null }, 'signed-in', false],
  ] as const)('%j is %s', (answer, is, asks) => {
    const who = whoActs(answer)
    expect(who.is).toBe(is)
    expect(lacksName(who, ' ')).toBe(asks)
    expect(lacksName(who, 'Olaf')).toBe(false)
  })

  test('is sent as whoever is signed in, whatever was typed before; else as typed', () => {
    expect(nameOf(whoActs({ value: ADA, problem: null }), 'Olaf')).toBe('Ada')
    expect(nameOf(whoActs({ value: OPEN, problem: null }), ' Olaf ')).toBe('Olaf')
  })
})
