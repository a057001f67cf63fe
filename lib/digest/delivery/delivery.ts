import type pg from 'pg'
import { type QueuePace, runQueue } from '@/lib/store/mail/queue'
import type { DigestSite } from '../weekly/digestMail'
import { composer } from './composer'
import { lookForDue } from './look'
import type { MailLine } from './mailLine'
import { type Sender, type Step, sendMail } from './sendMail'

export interface Delivery {
  /** Works as `holdfast_app`. */
  app: pg.Pool
  /** Works as `holdfast_door`, with two connections for each sender and three more. */
  door: pg.Pool
  site: DigestSite
  /** ms UTC. */
  now: () => number
  openLine: () => MailLine
  /** How many mails go at once. */
  senders: number
  /** Told what went wrong, in a sentence. */
  onFault: (sentence: string) => void
  onStep?: (step: Step) => Promise<void> | void
  pace?: QueuePace
}

/**
 * Has the queue look for mails that are due, and sends what it hands on, until it is stopped.
 * @returns what stops it, and waits up to ten seconds for mail in hand. The pools stay open.
 */
export async function startDelivery(delivery: Delivery): Promise<() => Promise<void>> {
  const { app, door, now, openLine, onStep, onFault, pace } = delivery
  const lines = Array.from({ length: delivery.senders }, () => restingLine(openLine()))
  const compose = freshComposer(delivery)
  const senders = lines.map((line) => {
    const sender: Sender = { door, line, compose, now, ...(onStep ? { onStep } : {}) }
    // While the mail server cannot be spoken to, the next mail waits for the next poll.
    return async (job: Parameters<typeof sendMail>[1]) => (await sendMail(sender, job)) !== 'line down'
  })
  const stop = await runQueue(door, {
    look: () => lookForDue({ app, door, now: now() }),
    senders,
    onFault,
    ...(pace ? { pace } : {}),
  })
  return async () => {
    await stop()
    for (const line of lines) line.close()
  }
}

/** What is told is as of an instant no older than this, ms. */
const FRESH_MS = 60_000

/** As of an instant after that since which the mail is due: else what a mail at once tells would not hold yet. */
function freshComposer({ app, door, site, now }: Delivery): Sender['compose'] {
  let asOf = Number.NEGATIVE_INFINITY
  let current: ReturnType<typeof composer>
  return (claimed) => {
    if (now() - asOf > FRESH_MS || asOf <= claimed.dueAt) {
      asOf = now()
      current = composer({ app, door, site, now: asOf })
    }
    return current.compose(claimed)
  }
}

/** So long after its last mail a connection to a mail server is closed, ms. */
const REST_MS = 5000

/** A line that is closed while there is nothing to hand over, and open again for the next mail. */
function restingLine(line: MailLine): MailLine {
  let rest: NodeJS.Timeout | undefined
  return {
    async hand(mail, mayEnd) {
      clearTimeout(rest)
      try {
        return await line.hand(mail, mayEnd)
      } finally {
        rest = setTimeout(() => line.close(), REST_MS).unref()
      }
    },
    close() {
      clearTimeout(rest)
      line.close()
    },
  }
}
