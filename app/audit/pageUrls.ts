import type { z } from 'zod'

type Params = Record<string, string | string[] | undefined>

/** The key in ?older=KEY, below which a list goes on; null for the newest rows, and for anything that is not a `key`. */
export function parseOlderThan(params: Params, key: z.ZodType<string>): string | null {
  return key.safeParse([params.older].flat()[0]).data ?? null
}

/** The URL of the rows below a key, derived from the URL of the newest rows. */
export function buildOlderUrl(newest: string, key: string): string {
  const [path, search] = newest.split('?')
  const params = new URLSearchParams(search)
  params.set('older', key)
  return `${path}?${params}`
}
