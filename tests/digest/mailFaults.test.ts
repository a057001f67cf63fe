import type { ChildProcess } from 'node:child_process'
import { setTimeout } from 'node:timers/promises'
import { beforeAll, expect, test } from 'vitest'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import { type Chance, chanceFrom } from '@/tests/reference/random'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { getRunSeed } from '@/tests/setup/seed'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { CUTS, type Cut, startCuttingMailServer } from './cuttingMailServer'
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
const ROUNDS = chooseUsualOrLong({ usual: 1, long: 25 })

/** Cut more often: the handover is committed meanwhile. */
const TEXT_CUTS: readonly Cut[] = ['after 354', 'in the text', 'before the last line']

let database: TestDatabase
const emails = new Map<string, string>()
beforeAll(async () => {
  database = await makeTestDatabase()
  await shortenRetries(database)
  // A commit of a handover takes up to 20 ms.
  await database.owner.query(`
    create function slow_commit() returns trigger language plpgsql as
      $$ begin perform pg_sleep(random() / 50); return null; end $$;
    create constraint trigger slow_commit after insert on digest_handover deferrable initially deferred
      for each row execute function slow_commit()`)
  for (let index = 0; index < PEOPLE; index++) {
    const email = `person${index}@test.invalid`
    emails.set(await addPerson(database, email, [ADMINISTRATOR]), email)
  }
})

/** A sender that is replaced whenever it ends, and those whose mail it was handing over when it was killed. */
function keepSender(smtpUrl: string, diedInHandover: Set<string>) {
  let [child, last, isOver]: [ChildProcess | null, string, boolean] = [null, '', false]
  let ended = Promise.resolve()
  const senderUrl = new URL(database.url)
  senderUrl.searchParams.set('application_name', 'sender')
  const start = () => {
    const sender = spawnSender(senderUrl.href, smtpUrl)
    child = sender
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

/** Cuts most connections at a random moment, and now and then kills a sender or one of its connections to the database. */
async function runRound(chance: Chance) {
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
    if (reached === 'before the greeting') cut = chance.pick([null, ...CUTS, ...TEXT_CUTS])
    if (kills.includes(moment)) {
      done.kills += 1
      chance.pick(senders).kill()
    }
    if (losses.includes(moment)) {
      done.losses += 1
      void loseConnection(chance.whole(1000))
    }
    moment += 1
    if (reached !== cut) return false
    done.cuts += 1
    cut = null
    return true
  })
  for (let index = 0; index < SENDERS; index++) senders.push(keepSender(office.url, diedInHandover))
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

/** Ends one of the senders' connections to the database. */
async function loseConnection(number: number) {
  await database.owner.query(
    `with senders as (
       select pid, row_number() over (order by pid) - 1 as position, count(*) over () as count
       from pg_stat_activity where datname = current_database() and application_name = 'sender'
     ) select pg_terminate_backend(pid) from senders where position = $1 % count`,
    [number],
  )
}

test('two senders, killed and cut off at random, send nobody two mails, and only mails that may have gone are in doubt', async () => {
  const chance = chanceFrom(getRunSeed())
  for (let round = 0; round < ROUNDS; round++) {
    const { mails, states, diedInHandover, done } = await runRound(chance)
    expect(done).toMatchObject({ kills: 3, losses: 2 })
    expect(done.cuts).toBeGreaterThan(0)
    expect(states.map(({ email }) => email)).toEqual([...emails.values()])
    for (const { email, state } of states) {
      // A last line after the server had hung up counts too: the sender cannot know that it came too late.
      const ended = mails.filter(({ to, isWhole, isLate }) => to === email && (isWhole || isLate))
      const about = { round, email, state, ended: ended.length }
      expect(about).toMatchObject({ ended: expect.toSatisfy((count: number) => count <= 1) })
      if (state === 'sent') expect(ended).toMatchObject([{ to: email, isAnswered: true }])
      else
        expect({ ...about, mayHaveGone: ended.length === 1 || diedInHandover.has(email) }).toMatchObject({
          state: 'uncertain',
          mayHaveGone: true,
        })
    }
  }
})
