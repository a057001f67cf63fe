import { isIP } from 'node:net'

/**
 * The client that an address belongs to, as limits count it: the address, or of IPv6 its first 64 bits, since the other 64
 * are an interface identifier (RFC 4291, section 2.5.1), which whoever has the network chooses. Sites have a /64 at the
 * least (RFC 6177). An IPv4-mapped address counts as its IPv4 address.
 * @param {string} address
 */
export function toClient(address) {
  const [plain = ''] = address.split('%')
  if (isIP(plain) !== 6) return address
  const words = toWords(plain)
  if (words.slice(0, 5).every((word) => word === 0) && words[5] === 0xffff)
    return words
      .slice(6)
      .flatMap((word) => [word >> 8, word & 0xff])
      .join('.')
  const network = words.slice(0, 4).map((word) => word.toString(16))
  return `${network.join(':')}::/64`
}

/**
 * An address as a proxy names it, without the port that some add: a client has another for each connection, and would count as
 * another client each time. IPv6 may stand in brackets (RFC 3986).
 * @param {string} named
 */
export function dropPort(named) {
  const [, address = named] = /^\[(.+)\](?::\d+)?$/.exec(named) ?? /^([^:]+):\d+$/.exec(named) ?? []
  return address
}

/** The eight words of an IPv6 address. */
function toWords(address) {
  // The standard of URLs writes all forms of an address in one, without dots.
  const [start, end] = new URL(`http://[${address}]`).hostname
    .slice(1, -1)
    .split('::')
    .map((part) => (part === '' ? [] : part.split(':').map((word) => Number.parseInt(word, 16))))
  if (end === undefined) return start
  return [...start, ...Array(8 - start.length - end.length).fill(0), ...end]
}
