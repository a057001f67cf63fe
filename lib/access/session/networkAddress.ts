/** The header in which our web server puts the network address that a request came from, over whatever was sent in it. */
export const SOURCE_HEADER = 'x-holdfast-source'

/** The network address that a request came from. */
export function networkAddress(request: { headers: Headers }): string {
  return request.headers.get(SOURCE_HEADER) || 'unknown'
}
