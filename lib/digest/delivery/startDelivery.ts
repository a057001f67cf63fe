import type pg from 'pg'
import { type QueueIntervals, runQueue } from '@/lib/store/mail/runQueue'
import type { MailSite } from '../weekly/digestMail'
import { createComposer } from './createComposer'
import type { MailTransport } from './mailTransport'
import { pollDueMail } from './pollDueMail'
import { type Sender, type Step, sendQueuedMail } from './sendQueuedMail'

export interface DeliveryOptions {
  /** Works as `holdfast_app`. */
  app: pg.Pool
  /** Works as `holdfast_door`, with two connections for each sender and three more. */
  authPool: pg.Pool
  site: MailSite
  /** ms UTC. */
  now: () => number
  openLine: () => MailTransport
  /** How many mails go at once. */
  senders: number
  /** Told what went wrong, in a sentence. */
  onFault: (sentence: string) => void
  onStep?: (step: Step) => Promise<void> | void
  intervals?: QueueIntervals
}

/**
 * Has the queue look for mails that are due, and sends what it hands on, until it is stopped.
 * @returns what stops it, and waits up to ten seconds for mail in hand. The pools stay open.
 */
export async function startDelivery(delivery: DeliveryOptions): Promise<() => Promise<void>> {
  const { app, authPool, now, openLine, onStep, onFault, intervals: pace } = delivery
  const lines = Array.from({ length: delivery.senders }, () => closeWhenIdle(openLine()))
  const compose = createFreshComposer(delivery)
  const senders = lines.map((line) => {
    const sender: Sender = { authPool, transport: line, compose, now, ...(onStep ? { onStep } : {}) }
    // While the mail server cannot be spoken to, the next mail waits for the next poll.
    return async (job: Parameters<typeof sendQueuedMail>[1]) =>
      (await sendQueuedMail(sender, job)) !== 'line down'
  })
  const stop = await runQueue(authPool, {
    poll: () => pollDueMail({ app, authPool, now: now() }),
    senders,
    onFault,
    ...(pace ? { intervals: pace } : {}),
  })
  return async () => {
    await stop()
    for (const line of lines) line.close()
  }
}

/** What is told is as of an instant no older than this, ms. */
const COMPOSER_MAX_AGE_MS = 60_000

/** As of an instant after that since which the mail is due: else what a mail at once tells would not hold yet. */
function createFreshComposer({ app, authPool, site, now }: DeliveryOptions): Sender['compose'] {
  let asOf = Number.NEGATIVE_INFINITY
  let current: ReturnType<typeof createComposer>
  return (claimed) => {
    if (now() - asOf > COMPOSER_MAX_AGE_MS || asOf <= claimed.dueAt) {
      asOf = now()
      current = createComposer({ app, authPool, site, now: asOf })
    }
    return current.compose(claimed)
  }
}

/** So long after its last mail a connection to a mail server is closed, ms. */
const IDLE_CLOSE_MS = 5000

/** A line that is closed while there is nothing to hand over, and open again for the next mail. */
function closeWhenIdle(line: MailTransport): MailTransport {
  let rest: NodeJS.Timeout | undefined
  return {
    async handOver(mail, mayEnd) {
      clearTimeout(rest)
      try {
        return await line.handOver(mail, mayEnd)
      } finally {
        rest = setTimeout(() => line.close(), IDLE_CLOSE_MS).unref()
      }
    },
    close() {
      clearTimeout(rest)
      line.close()
    },
  }
}
