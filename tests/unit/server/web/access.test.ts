import { describe, expect, test } from 'vitest'
import { type Access, makeAccess } from '../../../../server/web/access.ts'
import { makeManualClock } from '../../../support/manual-clock.ts'

const NEAR = { remoteAddress: '127.0.0.1', localPort: 8737 }
const FAR = { remoteAddress: '192.0.2.50', localPort: 8737 }
const clock = makeManualClock()

const cookieOf = (setCookie: string) => setCookie.split(';', 1)[0] ?? ''

function pairedCookie(access: Access): string {
  return cookieOf(access.pair(access.pairingCode ?? ''))
}

describe.each(['127.0.0.1', 'localhost', '::1', '127.0.0.53'])('bound to %s', (host) => {
  const access = makeAccess({ host, clock })

  test('there is no code and nothing to pair', () => {
    expect(access.pairingCode).toBeNull()
    expect(() => access.pair('123456')).toThrow('Nothing to pair')
  })

  test('whoever reaches it may enter', () => {
    expect(access.mayEnter(NEAR, undefined)).toBe(true)
  })
})

describe.each(['0.0.0.0', '::', '192.0.2.7', 'bender.shop.test'])('bound to %s', (host) => {
  const access = makeAccess({ host, clock })

  test('there is a code', () => {
    expect(access.pairingCode).toMatch(/^\d{6}$/)
  })

  test('this machine enters without it', () => {
    expect(access.mayEnter(NEAR, undefined)).toBe(true)
    expect(access.mayEnter({ ...NEAR, remoteAddress: '::ffff:127.0.0.1' }, undefined)).toBe(true)
    expect(access.mayEnter({ ...NEAR, remoteAddress: '::1' }, undefined)).toBe(true)
  })

  test('others do not, nor does one whose address is not known', () => {
    expect(access.mayEnter(FAR, undefined)).toBe(false)
    expect(access.mayEnter({ localPort: 8737 }, undefined)).toBe(false)
  })

  test('a paired device enters, among other cookies too', () => {
    const cookie = pairedCookie(access)
    expect(access.mayEnter(FAR, cookie)).toBe(true)
    expect(access.mayEnter(FAR, `theme=dark; ${cookie}; other=1`)).toBe(true)
  })

  test.each([
    '',
    'overbend_session',
    'overbend_session=',
    'overbend_session=x',
    'overbend_session=undefined',
    'xoverbend_session=',
    '__proto__=1',
    ';;;;',
    'a'.repeat(100_000),
  ])('cookie %# opens nothing', (cookie) => {
    expect(access.mayEnter(FAR, cookie)).toBe(false)
  })

  test('a token under another name opens nothing', () => {
    const token = pairedCookie(access).split('=')[1]
    expect(access.mayEnter(FAR, `session=${token}`)).toBe(false)
    expect(access.mayEnter(FAR, `xoverbend_session=${token}`)).toBe(false)
    expect(access.mayEnter(FAR, `overbend_session=${token}x`)).toBe(false)
  })

  test('the cookie is out of reach of scripts and of other sites', () => {
    const attributes = access
      .pair(access.pairingCode ?? '')
      .split('; ')
      .slice(1)
    expect(attributes).toEqual(['Path=/', 'HttpOnly', 'SameSite=Strict', 'Max-Age=43200'])
  })
})
