import { appPool, doorPool } from '@/lib/store/pool'
import type { DigestSite } from './digestMail'
import { openMailLine } from './mailLine'
import { outboxLine } from './outboxLine'
import { sendDue } from './round'

const TICK_MS = 60_000
const SENDERS = 3

export interface TickOptions {
  /** The owner's URL of the database that is served. */
  url: string
  site: DigestSite
  smtpUrl: string | undefined
  /** The folder that mail is written to where there is no server. */
  outbox: string
  /** Told what went wrong, in a sentence. */
  onFault: (sentence: string) => void
}

/**
 * Looks every minute for mail that is due and not sent. A tick decides nothing: what is due follows from the time and
 * the rows, so one that was missed, or that another server has too, changes nothing.
 * @returns what stops it, and waits up to ten seconds for mail under way.
 */
export function startTicks({ url, site, smtpUrl, outbox, onFault }: TickOptions): () => Promise<void> {
  const [app, door] = [appPool(url, { max: SENDERS }), doorPool(url, { max: 2 * SENDERS + 1 })]
  let current: Promise<unknown> = Promise.resolve()
  let isBusy = false
  let isStopping = false
  const tick = () => {
    if (isBusy || isStopping) return
    isBusy = true
    const openLine = () => (smtpUrl ? openMailLine(smtpUrl) : outboxLine(outbox))
    current = sendDue({
      app,
      door,
      site,
      now: Date.now,
      openLine,
      senders: SENDERS,
      isStopping: () => isStopping,
    })
      .catch((error: Error) => onFault(`The weekly mail could not be sent now: ${error.message}`))
      .finally(() => {
        isBusy = false
      })
  }
  const timer = setInterval(tick, TICK_MS)
  tick()
  return async () => {
    isStopping = true
    clearInterval(timer)
    await Promise.race([current, new Promise((resolve) => setTimeout(resolve, 10_000).unref())])
    // What is still under way is cut off with its connection, as by a crash.
    await Promise.race([
      Promise.all([app.end(), door.end()]),
      new Promise((resolve) => setTimeout(resolve, 1_000).unref()),
    ])
  }
}
