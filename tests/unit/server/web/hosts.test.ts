import { hostname } from 'node:os'
import { describe, expect, test } from 'vitest'
import { isLoopback, makeHostNames, urlHost } from '../../../../server/web/hosts.ts'

const door = { localPort: 8737, localAddress: '127.0.0.1', remoteAddress: '127.0.0.1' }

describe('a daemon bound to loopback', () => {
  const names = makeHostNames('127.0.0.1')

  test.each(['localhost:8737', '127.0.0.1:8737', '[::1]:8737', 'LOCALHOST:8737'])(
    'answers to %s',
    (header) => {
      expect(names.admitsHost(header, door)).toBe(true)
    },
  )

  test.each([
    undefined,
    '',
    ' ',
    'localhost',
    'localhost:',
    'localhost:8738',
    'localhost:08737x',
    'localhost:873700',
    'evil.test',
    'evil.test:8737',
    'localhost.evil.test:8737',
    'evil.localhost:8737',
    'localhost.:8737',
    '127.0.0.1.evil.test:8737',
    '127.0.0.2:8737',
    '127.1:8737',
    '2130706433:8737',
    '0x7f000001:8737',
    '[::1:8737',
    '::1:8737',
    '[::ffff:127.0.0.1]:8737',
    '0.0.0.0:8737',
    'localhost:8737@evil.test',
    'evil.test@localhost:8737',
    'localhost:8737/',
    'localhost:8737, evil.test',
    'localhost\t:8737',
    'localhost:8737\n',
    'löcalhost:8737',
  ])('does not answer to %j', (header) => {
    expect(names.admitsHost(header, door)).toBe(false)
  })

  test('takes a Host without a port only where the port is 80', () => {
    expect(names.admitsHost('localhost', { ...door, localPort: 80 })).toBe(true)
    expect(names.admitsHost('localhost', door)).toBe(false)
  })

  test('takes an injected request, which has no port, as one to port 80', () => {
    expect(names.admitsHost('localhost:80', {})).toBe(true)
    expect(names.admitsHost('localhost:8737', {})).toBe(false)
  })

  test.each(['http://localhost:8737', 'http://127.0.0.1:8737', 'http://[::1]:8737'])(
    'takes pages of %s for its own',
    (origin) => {
      expect(names.admitsOrigin(origin, door)).toBe(true)
    },
  )

  test.each([
    undefined,
    '',
    'null',
    'http://evil.test',
    'http://evil.test:8737',
    'http://localhost.evil.test:8737',
    'http://localhost:5173',
    'http://localhost',
    'https://localhost:8737',
    'HTTP://localhost:8737',
    'file://',
    'ws://localhost:8737',
    'http://localhost:8737/',
    'http://localhost:8737 http://evil.test',
  ])('takes pages of %j for foreign', (origin) => {
    expect(names.admitsOrigin(origin, door)).toBe(false)
  })
})

describe('a daemon bound to an address of the shop', () => {
  test('answers to that address and to loopback names', () => {
    const names = makeHostNames('192.0.2.7')
    expect(names.admitsHost('192.0.2.7:8737', door)).toBe(true)
    expect(names.admitsHost('localhost:8737', door)).toBe(true)
    expect(names.admitsHost('192.0.2.8:8737', door)).toBe(false)
  })

  test('writes an IPv6 address in brackets, as a Host header has it', () => {
    const names = makeHostNames('2001:db8::7')
    expect(names.admitsHost('[2001:db8::7]:8737', door)).toBe(true)
    expect(names.admitsHost('[2001:db8::8]:8737', door)).toBe(false)
  })

  test('answers to a given name', () => {
    const names = makeHostNames('bender.shop.test')
    expect(names.admitsHost('bender.shop.test:8737', door)).toBe(true)
    expect(names.admitsHost('other.shop.test:8737', door)).toBe(false)
  })

  test.each(['0.0.0.0', '::'])('bound to %s it answers to where the request came in', (host) => {
    const names = makeHostNames(host)
    const wired = { ...door, localAddress: '::ffff:192.0.2.7' }
    expect(names.admitsHost('192.0.2.7:8737', wired)).toBe(true)
    expect(names.admitsHost(`${hostname()}:8737`, wired)).toBe(true)
    expect(names.admitsHost(`${hostname()}.local:8737`, wired)).toBe(true)
    expect(names.admitsHost('192.0.2.8:8737', wired)).toBe(false)
    expect(names.admitsHost('evil.test:8737', wired)).toBe(false)
    expect(names.admitsHost('0.0.0.0:8737', wired)).toBe(false)
  })

  test('not bound to a wildcard, the address it came in at is no name of its own', () => {
    const wired = { ...door, localAddress: '192.0.2.9' }
    expect(makeHostNames('192.0.2.7').admitsHost('192.0.2.9:8737', wired)).toBe(false)
  })
})

test.each([
  ['127.0.0.1', true],
  ['127.8.9.10', true],
  ['::1', true],
  ['::ffff:127.0.0.1', true],
  ['::FFFF:127.0.0.1', true],
  ['localhost', true],
  ['', false],
  ['0.0.0.0', false],
  ['::', false],
  ['192.0.2.1', false],
  ['::ffff:192.0.2.1', false],
  ['127.0.0.1.evil.test', false],
  ['1127.0.0.1', false],
  ['127.0.0', false],
])('%j is loopback: %s', (address, expected) => {
  expect(isLoopback(address)).toBe(expected)
})

test.each([
  ['127.0.0.1', '127.0.0.1'],
  ['0.0.0.0', 'localhost'],
  ['::', 'localhost'],
  ['::1', '[::1]'],
  ['bender.shop.test', 'bender.shop.test'],
])('in an address to print, %s is %s', (host, expected) => {
  expect(urlHost(host)).toBe(expected)
})
