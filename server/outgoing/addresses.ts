// Where may a message be sent? To the public internet, by https; within the operator's own networks only as they allow.

import { BlockList, isIP, isIPv4 } from 'node:net'

/** What an address can be refused for before anything is resolved. */
export type AddressFault =
  | 'no-address'
  | 'not-https'
  | 'with-password'
  | 'with-fragment'
  | 'port'
  | 'not-public'

const PORTS = new Set(['', '443', '8443'])

/**
 * IPv4 that no public service answers at: the IANA IPv4 Special-Purpose Address Registry (RFC 6890), multicast
 * (RFC 5771) and class E (RFC 1112).
 */
const NOT_PUBLIC_4: readonly (readonly [string, number])[] = [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.0.2.0', 24],
  ['192.31.196.0', 24],
  ['192.52.193.0', 24],
  ['192.88.99.0', 24],
  ['192.168.0.0', 16],
  ['192.175.48.0', 24],
  ['198.18.0.0', 15],
  ['198.51.100.0', 24],
  ['203.0.113.0', 24],
  ['224.0.0.0', 4],
  ['240.0.0.0', 4],
]

/**
 * Of IPv6 only what is given out for global use (2000::/3, RFC 4291) is public, without the parts of it in the IANA IPv6
 * Special-Purpose Address Registry: protocols, documentation, and what wraps an IPv4 address. Loopback, mapped, NAT64,
 * unique local, link-local and multicast addresses all lie outside 2000::/3.
 */
const NOT_PUBLIC_6: readonly (readonly [string, number])[] = [
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['2620:4f:8000::', 48],
  ['3fff::', 20],
]

const closed = new BlockList()
for (const [net, prefix] of NOT_PUBLIC_4) closed.addSubnet(net, prefix, 'ipv4')
for (const [net, prefix] of NOT_PUBLIC_6) closed.addSubnet(net, prefix, 'ipv6')
const global6 = new BlockList()
global6.addSubnet('2000::', 3, 'ipv6')

export function isPublic(address: string): boolean {
  if (isIPv4(address)) return !closed.check(address, 'ipv4')
  return isIP(address) === 6 && global6.check(address, 'ipv6') && !closed.check(address, 'ipv6')
}

/** Networks of the operator's in which receivers may stand. */
export interface OwnNetworks {
  any: boolean
  has(address: string): boolean
}

/** `10.20.0.0/16, fd00:20::/32`; an address alone is a network of one. */
export function ownNetworks(written: string): OwnNetworks {
  const list = new BlockList()
  const parts = written
    .split(',')
    .map((part) => part.trim())
    .filter((part) => part !== '')
  for (const part of parts) {
    const [net = '', bits, more] = part.split('/')
    const family = isIP(net)
    const prefix = bits === undefined ? (family === 4 ? 32 : 128) : Number(bits)
    const most = family === 4 ? 32 : 128
    if (
      family === 0 ||
      !Number.isInteger(prefix) ||
      prefix < 0 ||
      prefix > most ||
      bits === '' ||
      more !== undefined
    )
      throw new Error(`JOINTKEEP_OWN_NETWORKS: ${part} is no network such as 10.20.0.0/16.`)
    list.addSubnet(net, prefix, family === 4 ? 'ipv4' : 'ipv6')
  }
  return {
    any: parts.length > 0,
    has: (address) => isIP(address) !== 0 && list.check(address, isIPv4(address) ? 'ipv4' : 'ipv6'),
  }
}

/** May this address be connected to, by the way that the URL asks for? */
export function mayConnect(url: URL, address: string, own: OwnNetworks): boolean {
  if (own.has(address)) return true
  return isPublic(address) && url.protocol === 'https:' && PORTS.has(url.port)
}

/** The name or the bare IP address that a URL names its host by. */
export const hostOf = (url: URL): string => url.hostname.replace(/^\[(.*)\]$/, '$1')

/** What is wrong with an address as it is written; names are looked up when something is sent. */
export function faultOf(written: string, own: OwnNetworks): AddressFault | null {
  if (!URL.canParse(written)) return 'no-address'
  const url = new URL(written)
  if (url.protocol !== 'https:' && !(url.protocol === 'http:' && own.any)) return 'not-https'
  if (url.username !== '' || url.password !== '') return 'with-password'
  if (url.hash !== '') return 'with-fragment'
  const host = hostOf(url)
  if (isIP(host) !== 0) return mayConnect(url, host, own) ? null : isPublic(host) ? 'port' : 'not-public'
  return PORTS.has(url.port) || own.any ? null : 'port'
}
