import { BlockList, isIPv6 } from 'node:net'
import { getSiteUrl } from '@/lib/store/site'
import { getNetworkAddress } from './actor'

const thisMachine = new BlockList()
thisMachine.addSubnet('127.0.0.0', 8)
thisMachine.addAddress('::1', 'ipv6')

/** What proxies add beside X-Forwarded-For (RFC 7239, RFC 9110). A browser sends none of them. */
const PROXY_HEADERS = ['forwarded', 'via', 'x-real-ip']

/**
 * Whether the demo's role buttons work for a request: from this machine only, because whoever presses one needs no
 * secret. A proxy on this machine also connects from here, so a site with an address of its own has no buttons, and a
 * client that a proxy names in X-Forwarded-For has to be this machine too. A proxy that adds nothing to a request cannot be
 * told from a browser here.
 */
export function mayUseDemoRoles({ headers }: { headers: Headers }): boolean {
  if (PROXY_HEADERS.some((name) => headers.has(name))) return false
  // Next adds X-Forwarded-For, with the address of the connection, if there is none.
  const forwarded = headers.get('x-forwarded-for')?.split(',') ?? []
  const addresses = [getNetworkAddress({ headers }), ...forwarded].map((one) => one.trim())
  return isLoopback(new URL(getSiteUrl()).hostname) && addresses.every(isLoopback)
}

function isLoopback(host: string): boolean {
  const plain = host.replace(/^::ffff:|[[\]]/g, '')
  return plain === 'localhost' || thisMachine.check(plain, isIPv6(plain) ? 'ipv6' : 'ipv4')
}
