import { ROUTES } from '@/lib/policy/routes'

/** One address of the table of routes, whichever methods it takes. */
interface Pattern {
  /** Like /api/plants/[code]. */
  address: string
  parts: readonly string[]
}

const PATTERNS: Pattern[] = [...new Set(Object.keys(ROUTES).map((name) => name.split(' ')[1] ?? ''))]
  // A part that is given wins over one that can be anything.
  .sort((one, other) => count(one) - count(other))
  .map((address) => ({ address, parts: split(address) }))

function count(address: string): number {
  return address.split('[').length
}

function split(path: string): string[] {
  return path.split('/').filter((part) => part !== '')
}

/**
 * The route that a path belongs to, as the table of routes names it, like /samples/[code]: `static` for files of the
 * build, `other` for whatever is not there. What is in the path, such as a sample's code or a secret, is not in it.
 */
export function matchRoute(path: string): string {
  const [plain = ''] = path.split('?')
  if (plain.startsWith('/_next/')) return 'static'
  const parts = split(plain)
  const found = PATTERNS.find(
    (pattern) =>
      pattern.parts.length === parts.length &&
      pattern.parts.every((part, index) => part.startsWith('[') || part === parts[index]),
  )
  return found?.address ?? 'other'
}
