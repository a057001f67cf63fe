import type pg from 'pg'
import type { ApiKey } from '@/lib/policy/principal'
import { findKeyBySecret, findSigningKey } from '@/lib/store/people/keys'
import { consumeSignature } from '@/lib/store/people/usedSignatures'
import { verifySignature } from './signature'

/** Whether a request comes with a key or a signature. A browser never sends either. */
export function hasKeyHeader(request: { headers: Headers }): boolean {
  return request.headers.has('signature-input') || request.headers.has('authorization')
}

/** The key of a request; null if it has no valid one, whatever the reason, with the key ids that its signatures name. */
export type KeySearch = { key: ApiKey; namedIds?: undefined } | { key: null; namedIds: readonly string[] }

/**
 * Finds the key of a request at `now` (ms UTC): by its signature if it has one, else by its bearer secret. Consumes the
 * signature.
 */
export async function findRequestKey(authPool: pg.Pool, request: Request, now: number): Promise<KeySearch> {
  if (request.headers.has('signature-input')) return findKeyBySignature(authPool, request, now)
  const secret = /^bearer +(\S+) *$/i.exec(request.headers.get('authorization') ?? '')?.[1]
  const key = secret === undefined ? null : await findKeyBySecret(authPool, secret, now)
  return key ? { key } : { key, namedIds: [] }
}

async function findKeyBySignature(authPool: pg.Pool, request: Request, now: number): Promise<KeySearch> {
  const message = {
    method: request.method,
    url: getSentUrl(request),
    headers: Object.fromEntries(request.headers),
  }
  const namedIds: string[] = []
  const held = await verifySignature(
    message,
    async (id) => {
      namedIds.push(id)
      const found = await findSigningKey(authPool, id, now)
      return found && { key: found, hmacKey: found.hash }
    },
    now,
  )
  if (!held || !(await consumeSignature(authPool, held.digest, now))) return { key: null, namedIds }
  await held.key.noteUse()
  return { key: held.key.key }
}

/** The URL as the sender signed it: the server may know itself by another host name. */
function getSentUrl(request: Request): string {
  const url = new URL(request.url)
  const host = request.headers.get('host')
  if (host !== null) url.host = host
  return url.href
}
