import { appPool, doorPool } from '@/lib/store/scope/pool'
import type { DigestSite } from '../weekly/digestMail'
import { startDelivery } from './delivery'
import { openMailLine, USUAL_PATIENCE } from './mailLine'
import { outboxLine } from './outboxLine'

/** So many mails go at once from one server, as many as the mail library's own pool has connections unless told. */
export const SENDERS = 5

export interface MailsOptions {
  /** The owner's URL of the database that is served. */
  url: string
  site: DigestSite
  smtpUrl: string | undefined
  /** The certificates (PEM) that vouch for it; those that Node trusts unless said. */
  smtpCa: string | undefined
  /** The folder that mail is written to where there is no server. */
  outbox: string
  /** Told what went wrong, in a sentence. */
  onFault: (sentence: string) => void
}

/**
 * Sends the mails of a database from this process, beside whatever other servers do.
 * @returns what stops it, and waits up to ten seconds for mail under way.
 */
export async function startMails({
  url,
  site,
  smtpUrl,
  smtpCa,
  outbox,
  onFault,
}: MailsOptions): Promise<() => Promise<void>> {
  const [app, door] = [appPool(url, { max: SENDERS }), doorPool(url, { max: 2 * SENDERS + 3 })]
  const openLine = () => (smtpUrl ? openMailLine(smtpUrl, USUAL_PATIENCE, smtpCa) : outboxLine(outbox))
  const stop = await startDelivery({ app, door, site, now: Date.now, openLine, senders: SENDERS, onFault })
  return async () => {
    await stop()
    // What is still under way is cut off with its connection, as by a crash.
    await Promise.race([
      Promise.all([app.end(), door.end()]),
      new Promise((resolve) => setTimeout(resolve, 1_000).unref()),
    ])
  }
}
