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
 * What a link to stop mails carries: the person's id, the serial that makes it revocable, and a signature over both and
 * over which mails, by the site's secret. It tells nothing else and lets in nowhere.
 */
export function createUnsubscribeToken(
  secret: string,
  personId: string,
  serial: number,
  list: MailList = 'weekly',
): string {
  return `${Buffer.from(personId).toString('base64url')}.${serial}.${sign(secret, { personId, serial, list })}`
}

/** What a token stops; null where it is none of ours. Whether the serial still counts is the caller's to ask. */
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

const PURPOSES: Record<MailList, string> = { weekly: 'digest', 'at once': 'at once' }

function sign(secret: string, { personId, serial, list }: DigestStop): string {
  return createHmac('sha256', secret).update(`${PURPOSES[list]}\n${serial}\n${personId}`).digest('base64url')
}

/** Which mails a token stops; the weekly ones where it is no token. */
export const findTokenList = (secret: string, token: string): MailList =>
  parseUnsubscribeToken(secret, token)?.list ?? 'weekly'

/** Stops the mail of whoever a token was mailed to. `address` is where the wish came from. */
export async function stopByToken(
  secret: string,
  token: string,
  address: string,
  now: number,
): Promise<StopResult> {
  const read = parseUnsubscribeToken(secret, token)
  return read ? stopDigest(getAuthPool(), read, address, now) : 'no such link'
}
