import type pg from 'pg'
import { type QueueIntervals, runQueue } from '@/lib/store/mail/runQueue'
import type { MailSite } from '../weekly/digestMail'
import { createComposer } from './createComposer'
import type { MailTransport } from './mailTransport'
import { pollDueMail } from './pollDueMail'
import { type OnStep, type Sender, sendQueuedMail } from './sendQueuedMail'

export interface DeliveryOptions {
  /** Works as `holdfast_app`. */
  app: pg.Pool
  /** Works as `holdfast_door`, with two connections for each sender and three more. */
  authPool: pg.Pool
  site: MailSite
  /** ms UTC. */
  now: () => number
  openTransport: () => MailTransport
  /** How many mails are sent at the same time. */
  senders: number
  /** Gets a sentence about what went wrong. */
  onFault: (sentence: string) => void
  onStep?: OnStep
  intervals?: QueueIntervals
}

/**
 * Polls for mails that are due and sends them, until it is stopped.
 * @returns a function that stops it and waits up to ten seconds for mails in hand. The pools stay open.
 */
export async function startDelivery(delivery: DeliveryOptions): Promise<() => Promise<void>> {
  const { app, authPool, now, openTransport, onStep, onFault, intervals } = delivery
  const transports = Array.from({ length: delivery.senders }, () => closeWhenIdle(openTransport()))
  const compose = createFreshComposer(delivery)
  const senders = transports.map((transport) => {
    const sender: Sender = { authPool, transport, compose, now, ...(onStep ? { onStep } : {}) }
    // While the mail server cannot be reached, the next mail waits for the next fetch.
    return async (job: Parameters<typeof sendQueuedMail>[1]) =>
      (await sendQueuedMail(sender, job)) !== 'line down'
  })
  const stop = await runQueue(authPool, {
    poll: () => pollDueMail({ app, authPool, now: now() }),
    senders,
    onFault,
    ...(intervals ? { intervals } : {}),
  })
  return async () => {
    await stop()
    for (const transport of transports) transport.close()
  }
}

/** A mail is composed as of an instant no older than this, ms. */
const COMPOSER_MAX_AGE_MS = 60_000

/** Composes as of an instant after the mail was due: before that, what an alert says does not hold yet. */
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

/** Idle time after which the connection to the mail server is closed, ms. */
const IDLE_CLOSE_MS = 5000

/** Closes a transport while it is idle; the next mail opens it again. */
function closeWhenIdle(transport: MailTransport): MailTransport {
  let timer: NodeJS.Timeout | undefined
  return {
    async handOver(mail, mayEnd) {
      clearTimeout(timer)
      try {
        return await transport.handOver(mail, mayEnd)
      } finally {
        timer = setTimeout(() => transport.close(), IDLE_CLOSE_MS).unref()
      }
    },
    close() {
      clearTimeout(timer)
      transport.close()
    },
  }
}
