import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path/posix'
import { openAppPool, openAuthPool } from '@/lib/store/scope/pool'
import type { MailSite } from '../weekly/digestMail'
import { DEFAULT_TIMEOUTS, type MailTransport, openSmtpTransport } from './mailTransport'
import { startDelivery } from './startDelivery'

/** So many mails go at once from one server, as many as the mail library's own pool has connections unless told. */
export const SENDER_COUNT = 5

export interface MailsOptions {
  /** The owner's URL of the database that is served. */
  url: string
  site: MailSite
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
  const [app, authPool] = [
    openAppPool(url, { max: SENDER_COUNT }),
    openAuthPool(url, { max: 2 * SENDER_COUNT + 3 }),
  ]
  const openLine = () => (smtpUrl ? openSmtpTransport(smtpUrl, DEFAULT_TIMEOUTS, smtpCa) : openOutbox(outbox))
  const stop = await startDelivery({
    app,
    authPool,
    site,
    now: Date.now,
    openLine,
    senders: SENDER_COUNT,
    onFault,
  })
  return async () => {
    await stop()
    // What is still under way is cut off with its connection, as by a crash.
    await Promise.race([
      Promise.all([app.end(), authPool.end()]),
      new Promise((resolve) => setTimeout(resolve, 1_000).unref()),
    ])
  }
}

/** A line that puts mail into files of a folder, for want of a mail server; a file is named by its mail, so there is one. */
function openOutbox(folder: string): MailTransport {
  return {
    async handOver({ message }, mayEnd) {
      if (!(await mayEnd())) return { kind: 'not ours' }
      try {
        await mkdir(folder, { recursive: true, mode: 0o700 })
        const [, id = 'unnamed'] = /^Message-ID: <([^@>]+)/im.exec(message.toString('latin1')) ?? []
        const path = join(folder, `${id}.eml`)
        await writeFile(path, message, { mode: 0o600, flag: 'wx' }).catch((error: NodeJS.ErrnoException) => {
          if (error.code !== 'EEXIST') throw error
        })
        return { kind: 'taken', said: path, isWritten: true }
      } catch (error) {
        const said = (error as Error).message
        return { kind: 'not taken', said, isLasting: false, isAddress: false, isLineDown: true }
      }
    },
    close() {},
  }
}
