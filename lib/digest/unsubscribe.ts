import { createHmac, timingSafeEqual } from 'node:crypto'

/**
 * What a link to stop the weekly mail carries: the person's id, the serial that makes it revocable, and a signature
 * over both by the site's secret. It tells nothing else and lets in nowhere.
 */
export function unsubscribeToken(secret: string, personId: string, serial: number): string {
  return `${Buffer.from(personId).toString('base64url')}.${serial}.${signatureOf(secret, personId, serial)}`
}

/** Whose token it is and of which serial; null where it is none of ours. Whether the serial still counts is the caller's to ask. */
export function readUnsubscribeToken(
  secret: string,
  token: string,
): { personId: string; serial: number } | null {
  const match = /^([\w-]{1,100})\.(\d{1,9})\.([\w-]{43})$/.exec(token)
  if (!match) return null
  const personId = Buffer.from(match[1] as string, 'base64url').toString('utf8')
  const serial = Number(match[2])
  const expected = Buffer.from(signatureOf(secret, personId, serial))
  const given = Buffer.from(match[3] as string)
  return expected.length === given.length && timingSafeEqual(expected, given) ? { personId, serial } : null
}

function signatureOf(secret: string, personId: string, serial: number): string {
  return createHmac('sha256', secret).update(`digest\n${serial}\n${personId}`).digest('base64url')
}
