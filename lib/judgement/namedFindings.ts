import type { Finding } from '@/lib/custody/finding'

/**
 * Characters of the keys as an address carries them: a server takes 16 KiB of a request's head, cookies included. The longest key
 * takes 3,650.
 */
const MAX_ENCODED = 4_000

/**
 * The keys of the findings that an act names, from the first on: as many as the link to the form carries. Whoever rules ticks
 * further ones there, and a sample with a thousand findings does not bring them all to every list.
 */
export function listNamedFindings(findings: readonly Finding[]): string[] {
  const named: string[] = []
  let length = 0
  for (const { key } of findings) {
    length += new URLSearchParams({ on: key }).toString().length
    if (length > MAX_ENCODED) break
    named.push(key)
  }
  return named
}
