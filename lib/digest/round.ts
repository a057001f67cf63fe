import type pg from 'pg'
import { enterDueMails } from '@/lib/store/digestMails'
import { digestPeople } from '@/lib/store/digestPeople'
import { digestTime } from '@/lib/store/digestTime'
import { enterAtOnce } from './atOnceRound'
import { composer } from './composer'
import type { DigestSite } from './digestMail'
import type { MailLine } from './mailLine'
import { dueMails } from './plan'
import { type Fate, type Step, sendNext } from './sendNext'

export interface Round {
  /** Works as `holdfast_app`. */
  app: pg.Pool
  /** Works as `holdfast_door`, with two connections or more for each sender. */
  door: pg.Pool
  site: DigestSite
  /** ms UTC. */
  now: () => number
  openLine: () => MailLine
  /** How many mails go at once. */
  senders: number
  onStep?: (step: Step) => Promise<void> | void
  /** Asked before each mail whether to begin no other. */
  isStopping?: () => boolean
}

/** Enters what is due and sends it. @returns how many mails came to which fate. */
export async function sendDue(round: Round): Promise<Map<Fate, number>> {
  const { door, now } = round
  const time = await digestTime(door)
  await enterDueMails(door, dueMails(await digestPeople(door), time, now()))
  // What cannot be told at once must not keep the weekly mail from going.
  const [atOnce] = await Promise.allSettled([enterAtOnce({ app: round.app, door, now: now() })])
  const fates = new Map<Fate, number>()
  await Promise.all(Array.from({ length: round.senders }, () => sendAll(round, fates)))
  if (atOnce.status === 'rejected') throw atOnce.reason
  return fates
}

/** What is told is as of an instant no older than this, ms. */
const FRESH_MS = 60_000

async function sendAll(round: Round, fates: Map<Fate, number>): Promise<void> {
  const { app, door, site, now, openLine, onStep } = round
  const line = openLine()
  let [asOf, current] = [now(), composer({ app, door, site, now: now() })]
  const compose: ReturnType<typeof composer>['compose'] = (claimed) => {
    if (now() - asOf > FRESH_MS) {
      asOf = now()
      current = composer({ app, door, site, now: asOf })
    }
    return current.compose(claimed)
  }
  try {
    while (!round.isStopping?.()) {
      const fate = await sendNext({ door, line, compose, now, ...(onStep ? { onStep } : {}) })
      if (fate === 'none') return
      fates.set(fate, (fates.get(fate) ?? 0) + 1)
      if (fate === 'line down') return
    }
  } finally {
    line.close()
  }
}
