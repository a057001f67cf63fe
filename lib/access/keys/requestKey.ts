import type pg from 'pg'
import type { ApiKey } from '@/lib/policy/principal'
import { consumeSignature, findKeyBySecret, findSigningKey } from '@/lib/store/people/keys'
import { verifySignature } from './signature'

/** Whether a request claims to come from a machine with a key; a browser never does. */
export function hasKeyHeader(request: { headers: Headers }): boolean {
  return request.headers.has('signature-input') || request.headers.has('authorization')
}

/**
 * The key that a request comes with: of its signature if it bears one, else of its bearer secret. Null where there is
 * none that is worth anything at `now` (ms UTC), for whatever reason. A signature is used up by this.
 */
export async function findRequestKey(
  authPool: pg.Pool,
  request: Request,
  now: number,
): Promise<ApiKey | null> {
  if (request.headers.has('signature-input')) return findKeyBySignature(authPool, request, now)
  const secret = /^bearer +(\S+) *$/i.exec(request.headers.get('authorization') ?? '')?.[1]
  return secret === undefined ? null : findKeyBySecret(authPool, secret, now)
}

async function findKeyBySignature(authPool: pg.Pool, request: Request, now: number): Promise<ApiKey | null> {
  const message = {
    method: request.method,
    url: getSentUrl(request),
    headers: Object.fromEntries(request.headers),
  }
  const held = await verifySignature(
    message,
    async (id) => {
      const found = await findSigningKey(authPool, id, now)
      return found && { key: found, hmacKey: found.hash }
    },
    now,
  )
  if (!held || !(await consumeSignature(authPool, held.digest, now))) return null
  await held.key.noteUse()
  return held.key.key
}

/** The server knows itself by another name than the sender may have called it. */
function getSentUrl(request: Request): string {
  const url = new URL(request.url)
  const host = request.headers.get('host')
  if (host !== null) url.host = host
  return url.href
}
