import { openAppPool, openAuthPool } from '@/lib/store/scope/pool'
import type { MailSite } from '../weekly/digestMail'
import { DEFAULT_TIMEOUTS, type MailTransport, openSmtpTransport } from './mailTransport'
import { startDelivery } from './startDelivery'
import { writeToOutbox } from './writeToOutbox'

/** Mails that one server sends at the same time: nodemailer's default for its own pool. */
export const SENDER_COUNT = 5

export interface MailsOptions {
  /** The owner's URL of the database that is served. */
  url: string
  site: MailSite
  smtpUrl: string | undefined
  /** CA certificates (PEM), by default those that Node trusts. */
  smtpCa: string | undefined
  /** The folder for mail if there is no server. */
  outbox: string
  /** Gets a sentence about what went wrong. */
  onFault: (sentence: string) => void
}

/**
 * Sends the mails of a database from this process; other servers may do the same.
 * @returns a function that stops it and waits up to ten seconds for mails in hand.
 */
export async function startMails({
  url,
  site,
  smtpUrl,
  smtpCa,
  outbox,
  onFault,
}: MailsOptions): Promise<() => Promise<void>> {
  const [app, authPool] = [
    openAppPool(url, { max: SENDER_COUNT }),
    openAuthPool(url, { max: 2 * SENDER_COUNT + 3 }),
  ]
  const openTransport = () =>
    smtpUrl ? openSmtpTransport(smtpUrl, DEFAULT_TIMEOUTS, smtpCa) : openOutbox(outbox)
  const stop = await startDelivery({
    app,
    authPool,
    site,
    now: Date.now,
    openTransport,
    senders: SENDER_COUNT,
    onFault,
  })
  return async () => {
    await stop()
    // A mail that is still being sent is cut off with its connection, as by a crash.
    await Promise.race([
      Promise.all([app.end(), authPool.end()]),
      new Promise((resolve) => setTimeout(resolve, 1_000).unref()),
    ])
  }
}

/** Writes mails to files of a folder, if there is no mail server. A file is named by its Message-ID, so a mail has one file. */
function openOutbox(folder: string): MailTransport {
  return {
    async handOver({ message }, mayEnd) {
      if (!(await mayEnd())) return { kind: 'claimed elsewhere' }
      try {
        const [, id = 'unnamed'] = /^Message-ID: <([^@>]+)/im.exec(message.toString('latin1')) ?? []
        return { kind: 'accepted', said: await writeToOutbox(folder, id, message), isWritten: true }
      } catch (error) {
        const said = (error as Error).message
        return { kind: 'refused', said, isLasting: false, isAddress: false, isLineDown: true }
      }
    },
    close() {},
  }
}
