import type { ChildProcess } from 'node:child_process'
import { setTimeout } from 'node:timers/promises'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import type { Chance } from '@/tests/reference/random'
import type { TestDatabase } from '@/tests/setup/database'
import { CUTS, type Cut, type RecordedMail, startCuttingMailServer } from './cuttingMailServer'
import {
  ADMINISTRATOR,
  addPerson,
  deleteMails,
  expireRetryDelays,
  NOW,
  readMailStates,
  shortenRetries,
} from './programme'
import { spawnSender } from './startSender'

const PEOPLE = 8
const SENDERS = 2
/** Even without a cut, the mails of a round have more moments than this: each has six. */
const MOMENTS = 40

/** Cut more often: the handover is committed meanwhile. */
const TEXT_CUTS: readonly Cut[] = ['after 354', 'in the text', 'before the last line']

/** Moments that each conversation has, also where the text comes in one piece. */
const SURE_CUTS: readonly Cut[] = CUTS.filter((cut) => cut === 'after 354' || !TEXT_CUTS.includes(cut))

/** The part of a test's database that a round works on. */
export type MailDatabase = Pick<TestDatabase, 'url' | 'app' | 'authPool' | 'owner'>

/** Enters people who get the weekly mail, and lets a handover take time to commit. @returns addresses by person. */
export async function prepareMailRounds(database: MailDatabase): Promise<Map<string, string>> {
  await shortenRetries(database)
  // A commit of a handover takes up to 20 ms.
  await database.owner.query(`
    create function slow_commit() returns trigger language plpgsql as
      $$ begin perform pg_sleep(random() / 50); return null; end $$;
    create constraint trigger slow_commit after insert on digest_handover deferrable initially deferred
      for each row execute function slow_commit()`)
  const emails = new Map<string, string>()
  for (let index = 0; index < PEOPLE; index++) {
    const email = `person${index}@test.invalid`
    emails.set(await addPerson(database, email, [ADMINISTRATOR]), email)
  }
  return emails
}

/** A sender that is replaced whenever it ends, and those whose mail it was handing over when it was killed. */
function keepSender(
  database: MailDatabase,
  emails: ReadonlyMap<string, string>,
  smtpUrl: string,
  diedInHandover: Set<string>,
) {
  let [child, last, isOver]: [ChildProcess | null, string, boolean] = [null, '', false]
  let ended = Promise.resolve()
  const senderUrl = new URL(database.url)
  senderUrl.searchParams.set('application_name', 'sender')
  const start = () => {
    const sender = spawnSender(senderUrl.href, smtpUrl)
    child = sender
    // What a sender says that is killed and cut off is no news.
    sender.stderr.resume()
    sender.stdout.on('data', (lines) => {
      last = `${lines}`.trim().split('\n').at(-1) as string
    })
    ended = new Promise((resolve) =>
      sender.once('close', (code) => {
        const [step = '', person = ''] = last.split(' ')
        const isInHandover = step === 'ending' || step === 'marked' || step === 'answered'
        if (code !== 0 && isInHandover) diedInHandover.add(emails.get(person) as string)
        last = ''
        if (!isOver && code !== 0) start()
        resolve()
      }),
    )
  }
  start()
  return {
    kill: () => child?.kill('SIGKILL'),
    /** Waits for the sender's own end, which comes when no mail waits. */
    stop: () => {
      isOver = true
      return ended
    },
  }
}

/** What was sent in a round, what became of each mail, and what was done to the senders. */
export interface MailRound {
  mails: RecordedMail[]
  states: Awaited<ReturnType<typeof readMailStates>>
  diedInHandover: Set<string>
  done: { cuts: number; kills: number; losses: number }
}

/**
 * Sends the mails of a week anew: cuts most connections at a random moment, and now and then kills a sender or one of
 * its connections to the database.
 */
export async function runMailRound(
  database: MailDatabase,
  emails: ReadonlyMap<string, string>,
  chance: Chance,
): Promise<MailRound> {
  await deleteMails(database)
  const moments = Array.from({ length: MOMENTS }, (_, index) => index)
  const take = (count: number) =>
    Array.from({ length: count }, () => moments.splice(chance.whole(moments.length), 1)[0])
  const [kills, losses] = [take(3), take(2)]
  const diedInHandover = new Set<string>()
  const senders: ReturnType<typeof keepSender>[] = []
  const done = { cuts: 0, kills: 0, losses: 0 }
  let [moment, cut]: [number, Cut | null] = [0, null]
  const office = await startCuttingMailServer((reached) => {
    if (reached === 'before the greeting')
      cut = chance.pick(done.cuts === 0 ? SURE_CUTS : [null, ...CUTS, ...TEXT_CUTS])
    if (kills.includes(moment)) {
      done.kills += 1
      chance.pick(senders).kill()
    }
    if (losses.includes(moment)) {
      done.losses += 1
      void loseConnection(database, chance.whole(1000))
    }
    moment += 1
    if (reached !== cut) return false
    done.cuts += 1
    cut = null
    return true
  })
  for (let index = 0; index < SENDERS; index++)
    senders.push(keepSender(database, emails, office.url, diedInHandover))
  const hasWaiting = async () => {
    const states = await readMailStates(database)
    return states.length < PEOPLE || states.some(({ state }) => state === 'waiting')
  }
  while (await hasWaiting()) {
    await expireRetryDelays(database)
    await pollDueMail({ app: database.app, authPool: database.authPool, now: NOW })
    await setTimeout(100)
  }
  await Promise.all(senders.map((sender) => sender.stop()))
  await office.close()
  return { mails: office.mails, states: await readMailStates(database), diedInHandover, done }
}

/**
 * The mails to an address whose last line arrived. One that came after the server had hung up counts too: the sender
 * cannot know that it came too late.
 */
export function listEnded({ mails }: MailRound, email: string): RecordedMail[] {
  return mails.filter(({ to, isWhole, isLate }) => to === email && (isWhole || isLate))
}

/** Ends one of the senders' connections to the database. */
async function loseConnection({ owner }: MailDatabase, number: number) {
  await owner.query(
    `with senders as (
       select pid, row_number() over (order by pid) - 1 as position, count(*) over () as count
       from pg_stat_activity where datname = current_database() and application_name = 'sender'
     ) select pg_terminate_backend(pid) from senders where position = $1 % count`,
    [number],
  )
}
