import { createHmac, timingSafeEqual } from 'node:crypto'
import {
  type DigestStop,
  MAIL_LISTS,
  type MailList,
  type StopResult,
  stopDigest,
} from '@/lib/store/people/digestPreference'
import { getAuthPool } from '@/lib/store/scope/sharedPool'

/**
 * The token of a link that stops mails: the person's id, the serial that makes it revocable, and a signature over these and the
 * list of mails by the site's secret. It gives no access to anything else.
 */
export function createUnsubscribeToken(
  secret: string,
  personId: string,
  serial: number,
  list: MailList = 'weekly',
): string {
  return `${Buffer.from(personId).toString('base64url')}.${serial}.${sign(secret, { personId, serial, list })}`
}

/** Null if the signature is not ours. The caller checks whether the serial is current. */
function parseUnsubscribeToken(secret: string, token: string): DigestStop | null {
  const match = /^([\w-]{1,100})\.(\d{1,9})\.([\w-]{43})$/.exec(token)
  if (!match) return null
  const personId = Buffer.from(match[1] as string, 'base64url').toString('utf8')
  const serial = Number(match[2])
  const given = Buffer.from(match[3] as string)
  const isSigned = (list: MailList) => {
    const expected = Buffer.from(sign(secret, { personId, serial, list }))
    return expected.length === given.length && timingSafeEqual(expected, given)
  }
  const list = MAIL_LISTS.find(isSigned)
  return list ? { personId, serial, list } : null
}

const PURPOSES: Record<MailList, string> = { weekly: 'digest', alerts: 'at once' }

function sign(secret: string, { personId, serial, list }: DigestStop): string {
  return createHmac('sha256', secret).update(`${PURPOSES[list]}\n${serial}\n${personId}`).digest('base64url')
}

/** The list of mails that a token stops; the weekly ones if it is not a token. */
export const findTokenList = (secret: string, token: string): MailList =>
  parseUnsubscribeToken(secret, token)?.list ?? 'weekly'

/** Stops the mail of the token's person. `address` is the network address of the request. */
export async function stopByToken(
  secret: string,
  token: string,
  address: string,
  now: number,
): Promise<StopResult> {
  const read = parseUnsubscribeToken(secret, token)
  return read ? stopDigest(getAuthPool(), read, address, now) : 'no such link'
}
