import { type LookupAddress, type LookupOptions, lookup } from 'node:dns'
import { BlockList, isIP, type LookupFunction } from 'node:net'
import { NotLetOut } from './tap.ts'

/** Addresses that are not of the public internet: RFC 1918, RFC 4193, loopback, and of the same wire. */
const SHOP = new BlockList()
SHOP.addSubnet('10.0.0.0', 8)
SHOP.addSubnet('172.16.0.0', 12)
SHOP.addSubnet('192.168.0.0', 16)
SHOP.addSubnet('127.0.0.0', 8)
SHOP.addSubnet('169.254.0.0', 16)
SHOP.addAddress('::1', 'ipv6')
SHOP.addSubnet('fc00::', 7, 'ipv6')
SHOP.addSubnet('fe80::', 10, 'ipv6')

export const isOfTheShop = (address: string): boolean =>
  SHOP.check(address, isIP(address) === 6 ? 'ipv6' : 'ipv4')

/** @throws NotLetOut for an address outside. A name is looked at by `shopLookup`, when it is connected to. */
export function refuseStranger(host: string, address = host): void {
  if (isIP(address) === 0 || isOfTheShop(address)) return
  throw new NotLetOut(
    `${host} is not on the shop's network${address === host ? '' : ` (${address})`}: nothing is sent there.`,
  )
}

/** Names are looked up once a connection, and what is connected to is what was looked at. */
export const shopLookup: LookupFunction = (host, options, done) => {
  lookup(host, { ...(options as LookupOptions), all: true }, (error, found) => {
    if (error !== null) return done(error, '', 0)
    const first = found[0] as LookupAddress
    try {
      for (const { address } of found) refuseStranger(host, address)
    } catch (refusal) {
      return done(refusal as NotLetOut, '', 0)
    }
    return options.all ? done(null, found) : done(null, first.address, first.family)
  })
}

const WHY: Readonly<Record<string, string>> = {
  ENOTFOUND: 'no machine of that name is known',
  EAI_AGAIN: 'no machine of that name is known now',
  ECONNREFUSED: 'nobody listens there',
  ETIMEDOUT: 'it does not answer',
  EHOSTUNREACH: 'no way leads there',
  ENETUNREACH: 'no way leads there',
  ECONNRESET: 'it broke off',
  EPIPE: 'it broke off',
}

/** Why a machine could not be reached, as one sentence. */
export function unreached(host: string, port: number, error: unknown): NotLetOut {
  if (error instanceof NotLetOut) return error
  const { code = '', message } = error as NodeJS.ErrnoException
  return new NotLetOut(`${host}:${port} cannot be reached: ${WHY[code] ?? message}.`)
}
