/**
 * Whether a request that a browser may have sent on its own, with cookies, came from one of our pages. A browser names
 * the origin of a write by Origin, newer ones by Sec-Fetch-Site; a write with neither is refused. A read may also be
 * typed into the address bar or come from a bookmark; an older browser names its origin by Referer.
 * @param siteUrl the site's own URL, without a path
 */
export function isSameOrigin(request: { method: string; headers: Headers }, siteUrl: string): boolean {
  const { headers } = request
  const [origin, site] = [headers.get('origin'), headers.get('sec-fetch-site')]
  // The browser's own verdict comes first.
  if (site && site !== 'same-origin' && site !== 'none') return false
  const own = getServedOrigin(headers.get('host'), siteUrl)
  if (origin !== null) return getOrigin(origin) === own
  if (site) return site === 'same-origin' || isReadOnly(request)
  return isReadOnly(request) && getOrigin(headers.get('referer')) === own
}

/**
 * The origin of the pages that a host serves: scheme, name and port. The site's URL says how the site is reached, whatever
 * a proxy says of one request. Our web server answers for no other hosts than this machine's own, and those without TLS.
 */
function getServedOrigin(host: string | null, siteUrl: string): string {
  const site = new URL(siteUrl)
  return host === site.host ? site.origin : `http://${host}`
}

/** The origin of an address, or null if it is none of a web page. */
function getOrigin(address: string | null): string | null {
  const url = URL.canParse(address ?? '') ? new URL(address ?? '') : null
  return url !== null && url.username === '' ? url.origin : null
}

export function isReadOnly(request: { method: string }): boolean {
  return request.method === 'GET' || request.method === 'HEAD'
}
