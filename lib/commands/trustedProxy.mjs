import { BlockList, isIP } from 'node:net'

/**
 * Makes a test whether a connection comes from the proxy in front of the site, which may then name the client. A site with
 * a URL of its own has its proxy on this machine, unless HOLDFAST_PROXY names other addresses.
 * @param {string | null} siteHost the host of HOLDFAST_URL; null without one, and then there is no proxy
 * @param {string} [list] HOLDFAST_PROXY: addresses and networks, with commas between
 * @returns {(address: string) => boolean}
 */
export function createProxyCheck(siteHost, list) {
  if (siteHost === null) return () => false
  const trusted = new BlockList()
  for (const network of (list || '127.0.0.0/8,::1').split(',')) {
    const [address = '', bits] = network.trim().split('/')
    const family = isIP(address) === 6 ? 'ipv6' : 'ipv4'
    if (bits === undefined) trusted.addAddress(address, family)
    else trusted.addSubnet(address, Number(bits), family)
  }
  return (address) => {
    const plain = address.replace(/^::ffff:/, '')
    const family = isIP(plain)
    return family !== 0 && trusted.check(plain, family === 6 ? 'ipv6' : 'ipv4')
  }
}
