import { createHash, createHmac, timingSafeEqual } from 'node:crypto'
import { httpbis, type SignatureParameters } from 'http-message-signatures'
import { MAX_CLOCK_SKEW_MS } from '@/lib/store/people/usedSignatures'

/** The components a signature must cover, so that neither the action nor the body can be replaced. */
export const SIGNED_COMPONENTS = ['@method', '@path', 'content-digest'] as const

/** Signatures of one request whose key is looked up: each takes a query, and a header has room for hundreds. */
const MAX_SIGNATURES = 4

export interface SignedMessage {
  method: string
  url: string
  headers: Record<string, string>
}

/** A signature that was verified, with the key it was made with. */
export interface VerifiedSignature<K> {
  key: K
  /** SHA-256 of the signature. Signing the same message again within the same second gives the same signature. */
  digest: Buffer
}

/**
 * Verifies an HMAC-SHA256 signature (RFC 9421) that covers at least `components` and was made within five minutes of
 * `now` (ms UTC). Returns null if there is no valid one. `keyOf` finds a key and its HMAC bytes by key id. The body is
 * not read here: whoever reads it checks it against the signed digest.
 */
export async function verifySignature<K>(
  message: SignedMessage,
  findKey: (id: string) => Promise<{ key: K; hmacKey: Buffer } | null>,
  now: number,
  components: readonly string[] = SIGNED_COMPONENTS,
): Promise<VerifiedSignature<K> | null> {
  let held: VerifiedSignature<K> | null = null
  let looks = 0
  try {
    const isHeld = await httpbis.verifyMessage(
      {
        requiredParams: ['created', 'keyid'],
        requiredFields: [...components],
        // Switches off the library's own clock; `isTimely` uses ours.
        notAfter: Number.MAX_SAFE_INTEGER,
        keyLookup: async (parameters) => {
          if (!isTimely(parameters, now) || looks === MAX_SIGNATURES) return null
          looks += 1
          const found = await findKey(String(parameters.keyid))
          if (!found) return null
          return {
            algs: ['hmac-sha256'],
            verify: async (base: Buffer, signature: Buffer) => {
              if (!coversWholly(base, components) || !matchesHmac(base, signature, found.hmacKey))
                return false
              held = { key: found.key, digest: createHash('sha256').update(signature).digest() }
              return true
            },
          }
        },
      },
      message,
    )
    return isHeld === true ? held : null
  } catch {
    // A malformed signature counts as none.
    return null
  }
}

function isTimely({ created, expires }: SignatureParameters, now: number): boolean {
  const isNear = created instanceof Date && Math.abs(now - created.getTime()) <= MAX_CLOCK_SKEW_MS
  return isNear && (expires === undefined || Number(expires) * 1_000 >= now)
}

/**
 * Whether the signed text holds each component in full: with a parameter such as `;key=` a component covers only a
 * part.
 */
function coversWholly(base: Buffer, components: readonly string[]): boolean {
  const lines = base.toString('utf8').split('\n')
  return components.every((name) => lines.some((line) => line.startsWith(`"${name}": `)))
}

function matchesHmac(base: Buffer, signature: Buffer, hmacKey: Buffer): boolean {
  const expected = createHmac('sha256', hmacKey).update(base).digest()
  return signature.length === expected.length && timingSafeEqual(signature, expected)
}
