import type { z } from 'zod'

type Params = Record<string, string | string[] | undefined>

/** The key below which an address asks for rows, as ?older=KEY; null where it asks for the newest, or by what is no `key`. */
export function parseOlderThan(params: Params, key: z.ZodType<string>): string | null {
  return key.safeParse([params.older].flat()[0]).data ?? null
}

/** The address of the rows below a key, from that of the newest. */
export function buildOlderUrl(newest: string, key: string): string {
  const [path, search] = newest.split('?')
  const params = new URLSearchParams(search)
  params.set('older', key)
  return `${path}?${params}`
}
