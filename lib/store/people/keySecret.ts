import { createHash, randomBytes } from 'node:crypto'

/** So that a secret found in a log or a repository is known for what it is. */
const PREFIX = 'hfk_'

/** A new secret of a key: 32 random bytes. It is shown once; only its hash is kept. */
export function newSecret(): string {
  return PREFIX + randomBytes(32).toString('base64url')
}

/**
 * SHA-256 of a secret: what it is looked up by. A secret has 256 random bits, so there is nothing to guess, and a slow
 * hash would only slow down every request.
 */
export function hashOfSecret(secret: string): Buffer {
  return createHash('sha256').update(secret, 'utf8').digest()
}
