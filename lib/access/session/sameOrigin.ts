/**
 * Whether a request that a browser may have sent by itself, with its cookies, came from a page of ours. A browser says
 * where a write comes from by Origin, and newer ones by Sec-Fetch-Site; what says neither is not a page of ours. A read
 * may also be typed into the address bar or kept as a bookmark, and an older browser tells where it comes from by Referer.
 */
export function isSameOrigin(request: { method: string; headers: Headers }): boolean {
  const { headers } = request
  const [origin, site] = [headers.get('origin'), headers.get('sec-fetch-site')]
  // The browser's own verdict stands, whatever else is said.
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

/** Whether a request only reads. */
export function isReadOnly(request: { method: string }): boolean {
  return request.method === 'GET' || request.method === 'HEAD'
}
