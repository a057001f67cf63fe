const LOOPBACK = /^(::ffff:)?127\.|^::1$/

/**
 * The network address that a request came from. Our web server adds the one it sees to the end of X-Forwarded-For,
 * so what a client writes there itself is never taken for it, unless the client is on this machine, as a proxy is.
 */
export function networkAddress(request: { headers: Headers }): string {
  const hops = (request.headers.get('x-forwarded-for') ?? '').split(',').map((hop) => hop.trim())
  const known = hops.filter((hop) => hop !== '')
  return known.findLast((hop) => !LOOPBACK.test(hop)) ?? known.at(-1) ?? 'unknown'
}
