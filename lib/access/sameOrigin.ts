/**
 * Whether a request that a browser may have sent by itself, with its cookies, came from a page of ours. A browser says
 * where a write comes from by Origin, and newer ones by Sec-Fetch-Site; what says neither is not a page of ours.
 */
export function isSameOrigin(request: { headers: Headers }): boolean {
  const { headers } = request
  const origin = headers.get('origin')
  if (origin === null) return headers.get('sec-fetch-site') === 'same-origin'
  try {
    return new URL(origin).host === headers.get('host')
  } catch {
    return false
  }
}

/** Whether a request only reads. */
export function isReading(request: { method: string }): boolean {
  return request.method === 'GET' || request.method === 'HEAD'
}
