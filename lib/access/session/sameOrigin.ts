/**
 * Whether a request that a browser may have sent on its own, with cookies, came from one of our pages. A browser names
 * the origin of a write by Origin, newer ones by Sec-Fetch-Site; a write with neither is refused. A read may also be
 * typed into the address bar or come from a bookmark; an older browser names its origin by Referer.
 */
export function isSameOrigin(request: { method: string; headers: Headers }): boolean {
  const { headers } = request
  const [origin, site] = [headers.get('origin'), headers.get('sec-fetch-site')]
  // The browser's own verdict comes first.
  if (site && site !== 'same-origin' && site !== 'none') return false
  if (origin !== null) return matchesHost(origin, headers)
  if (site) return site === 'same-origin' || isReadOnly(request)
  return isReadOnly(request) && matchesHost(headers.get('referer'), headers)
}

function matchesHost(address: string | null, headers: Headers): boolean {
  const url = URL.canParse(address ?? '') ? new URL(address ?? '') : null
  return (
    url !== null && /^https?:$/.test(url.protocol) && url.username === '' && url.host === headers.get('host')
  )
}

export function isReadOnly(request: { method: string }): boolean {
  return request.method === 'GET' || request.method === 'HEAD'
}
