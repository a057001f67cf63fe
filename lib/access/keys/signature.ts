import { createHash, createHmac, timingSafeEqual } from 'node:crypto'
import { httpbis, type SignatureParameters } from 'http-message-signatures'
import { MAX_CLOCK_SKEW_MS } from '@/lib/store/people/keys'

/** What a signature has to cover, so that neither the act nor the body can be another than was signed. */
export const SIGNED_COMPONENTS = ['@method', '@path', 'content-digest'] as const

export interface SignedMessage {
  method: string
  url: string
  headers: Record<string, string>
}

/** What a signature that holds was made with. */
export interface VerifiedSignature<K> {
  key: K
  /** SHA-256 of the signature: the same message signed again at the same second has the same. */
  digest: Buffer
}

/**
 * The key of which a message bears a valid HMAC-SHA256 signature by RFC 9421, made within five minutes of `now` (ms
 * UTC) over at least `components`; null where it bears none that holds. `keyOf` gives the key of a key id and the
 * bytes that it signs by. The body is not looked at: that it has the signed digest is for who reads it to check.
 */
export async function verifySignature<K>(
  message: SignedMessage,
  keyOf: (id: string) => Promise<{ key: K; hmacKey: Buffer } | null>,
  now: number,
  components: readonly string[] = SIGNED_COMPONENTS,
): Promise<VerifiedSignature<K> | null> {
  let held: VerifiedSignature<K> | null = null
  try {
    const isHeld = await httpbis.verifyMessage(
      {
        requiredParams: ['created', 'keyid'],
        requiredFields: [...components],
        // The library measures by its own clock; ours is asked below.
        notAfter: Number.MAX_SAFE_INTEGER,
        keyLookup: async (parameters) => {
          if (!isTimely(parameters, now)) return null
          const found = await keyOf(String(parameters.keyid))
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
    // Whatever cannot be read as a signature is none.
    return null
  }
}

function isTimely({ created, expires }: SignatureParameters, now: number): boolean {
  const isNear = created instanceof Date && Math.abs(now - created.getTime()) <= MAX_CLOCK_SKEW_MS
  return isNear && (expires === undefined || Number(expires) * 1_000 >= now)
}

/** Whether the signed text has each component whole: with a parameter such as `;key=` it may be a part of one only. */
function coversWholly(base: Buffer, components: readonly string[]): boolean {
  const lines = base.toString('utf8').split('\n')
  return components.every((name) => lines.some((line) => line.startsWith(`"${name}": `)))
}

function matchesHmac(base: Buffer, signature: Buffer, hmacKey: Buffer): boolean {
  const expected = createHmac('sha256', hmacKey).update(base).digest()
  return signature.length === expected.length && timingSafeEqual(signature, expected)
}
