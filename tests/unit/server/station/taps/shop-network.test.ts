import { expect, test } from 'vitest'
import {
  isOfTheShop,
  refuseStranger,
  shopLookup,
} from '../../../../../server/station/taps/shop-network.ts'

/** The bounds of RFC 1918, section 3, and their neighbours; loopback and link-local of RFC 6890; RFC 4193, section 3.1. */
test.each([
  ['10.0.0.0', true],
  ['10.255.255.255', true],
  ['9.255.255.255', false],
  ['11.0.0.0', false],
  ['172.15.255.255', false],
  ['172.16.0.0', true],
  ['172.31.255.255', true],
  ['172.32.0.0', false],
  ['192.168.0.0', true],
  ['192.168.255.255', true],
  ['192.169.0.0', false],
  ['127.0.0.1', true],
  ['169.254.1.1', true],
  ['0.0.0.0', false],
  ['1.1.1.1', false],
  ['::1', true],
  ['fd12:3456::1', true],
  ['fe80::1', true],
  ['fe00::1', false],
  ['2001:db8::1', false],
  ['::ffff:10.0.0.1', true],
  ['::ffff:8.8.8.8', false],
])('%s is of the shop: %s', (address, isOurs) => {
  expect(isOfTheShop(address)).toBe(isOurs)
})

test('a name that leads outside is refused with the address it leads to', () => {
  expect(() => refuseStranger('broker.example', '203.0.113.7')).toThrow(
    "broker.example is not on the shop's network (203.0.113.7): nothing is sent there.",
  )
  expect(() => refuseStranger('broker.example')).not.toThrow()
})

test.each([true, false])('a name of the shop is looked up (all: %s)', async (all) => {
  const found = await new Promise((resolve, reject) =>
    shopLookup('localhost', { all }, (error, address) =>
      error ? reject(error) : resolve(address),
    ),
  )
  const addresses = all ? (found as { address: string }[]).map(({ address }) => address) : [found]
  expect(addresses.length).toBeGreaterThan(0)
  for (const address of addresses) expect(['127.0.0.1', '::1']).toContain(address)
})
