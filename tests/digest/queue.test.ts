import PgBoss from 'pg-boss'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import { startDelivery } from '@/lib/digest/delivery/startDelivery'
import { enqueueMails } from '@/lib/store/mail/mailJobs'
import { withTransaction } from '@/lib/store/scope/transaction'
import type { TestDatabase } from '@/tests/setup/database'
import { clearMails, openMailDesk } from '@/tests/setup/mailDesk'
import type { AnswerMail, MailServer } from './mailServer'
import {
  ADMINISTRATOR,
  addPerson,
  createDelivery,
  deliverUntil,
  expireRetryDelays,
  NOW,
  readMailStates,
  sendDue,
  WEEK,
} from './programme'

let database: TestDatabase
let office: MailServer
let ada: string
let atTheEnd: AnswerMail
beforeAll(async () => {
  ;({ database, office, ada } = await openMailDesk((text, count) => atTheEnd(text, count)))
})
beforeEach(async () => {
  atTheEnd = async () => ({ isTaken: true })
  await clearMails({ database, office })
})

const due = () => ({ personId: ada, occasion: WEEK, dueAt: NOW })
const states = async () => (await readMailStates(database)).map(({ state }) => state)
const jobs = async () => {
  const { rows } = await database.authPool.query<{ state: string }>(
    `select state::text from queue.job where name = 'mail' order by created_on`,
  )
  return rows.map(({ state }) => state)
}
/** A second pg-boss, used as its documentation says. */
const library = () =>
  new PgBoss({ schema: 'queue', db: { executeSql: (text, values) => database.owner.query(text, values) } })

test('two running servers send what is due once, and share the polls', async () => {
  await database.owner.query('update queue.version set cron_on = null')
  const stops = await Promise.all([1, 2].map(() => startDelivery(createDelivery(office.url, database))))
  try {
    await expect.poll(states, { timeout: 45_000 }).toEqual(['sent'])
    const { rows } = await database.authPool.query(`select from queue.job where name = 'look'`)
    expect(rows.length).toBeLessThanOrEqual(2)
  } finally {
    await Promise.all(stops.map((stop) => stop()))
  }
  expect(office.taken).toHaveLength(1)
})

describe('a row and its job', () => {
  test('are inserted together or not at all', async () => {
    const half = withTransaction(database.authPool, async (client) => {
      expect(await enqueueMails(client, [due()], NOW)).toBe(1)
      throw new Error('Something else fails.')
    })
    await expect(half).rejects.toThrow('Something else fails.')
    expect([await states(), await jobs()]).toEqual([[], []])
    const enter = () => withTransaction(database.authPool, (client) => enqueueMails(client, [due()], NOW))
    expect([await enter(), await enter()]).toEqual([1, 0])
    expect([await states(), await jobs()]).toEqual([['waiting'], ['created']])
  })

  test('end together', async () => {
    await sendDue(createDelivery(office.url, database))
    expect([await states(), await jobs()]).toEqual([['sent'], ['completed']])
  })

  test('are joined by a poll if the row has no job, as in an earlier version', async () => {
    await database.authPool.query(
      'insert into digest_mail (person_id, occasion, due_at) values ($1, $2, $3)',
      [ada, WEEK, new Date(NOW)],
    )
    await sendDue(createDelivery(office.url, database))
    expect([await states(), office.taken.length]).toEqual([['sent'], 1])
  })

  test('belong together: a second job for the row sends nothing', async () => {
    const { app, authPool } = database
    await pollDueMail({ app, authPool, now: NOW })
    await library().send('mail', { personId: ada, occasion: WEEK })
    await sendDue(createDelivery(office.url, database, { senders: 2 }))
    expect([await states(), await jobs(), office.taken.length]).toEqual([
      ['sent'],
      ['completed', 'completed'],
      1,
    ])
  })
})

test('the job of a dead sender is retried after a quarter of an hour, and not before', async () => {
  const { app, authPool, owner } = database
  await pollDueMail({ app, authPool, now: NOW })
  expect(await library().fetch('mail')).toHaveLength(1)
  const is = (state: string) => `exists (select from queue.job where name = 'mail' and state = '${state}')`
  const delivery = createDelivery(office.url, database)
  const later = (minutes: number) =>
    owner.query(`update queue.job set started_on = started_on - $1 * interval '1 minute'`, [minutes])
  await later(14)
  const begun = Date.now()
  const stop = await startDelivery(delivery)
  await expect.poll(() => Date.now() - begun, { timeout: 5_000 }).toBeGreaterThan(2_500)
  await stop()
  expect(await jobs()).toEqual(['active'])
  await later(2)
  await deliverUntil(delivery, is('retry'))
  await expireRetryDelays(database)
  await sendDue(delivery)
  expect([await states(), office.taken.length]).toEqual([['sent'], 1])
})

test('a stop waits for the mail in hand, starts no other, and leaves nothing running', async () => {
  await addPerson(database, 'bob@test.invalid', [ADMINISTRATOR])
  const { app, authPool } = database
  await pollDueMail({ app, authPool, now: NOW })
  let handed = () => {}
  const isInHand = new Promise<void>((resolve) => {
    handed = resolve
  })
  atTheEnd = async () => {
    handed()
    await new Promise((resolve) => setTimeout(resolve, 600))
    return { isTaken: true }
  }
  const stop = await startDelivery(createDelivery(office.url, database))
  await isInHand
  await stop()
  expect((await states()).sort()).toEqual(['sent', 'waiting'])
  expect(office.taken).toHaveLength(1)
  expect([authPool.waitingCount, authPool.totalCount - authPool.idleCount]).toEqual([0, 0])
  await database.owner.query(`update person set left_at = now() where email = 'bob@test.invalid'`)
})

test('a database failure while a mail is in hand is reported, ends no process, and sends nothing twice', async () => {
  const faults: string[] = []
  atTheEnd = async () => {
    await database.owner.query(
      'select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()',
    )
    return { isTaken: true }
  }
  const { app, authPool } = database
  await pollDueMail({ app, authPool, now: NOW })
  const delivery = createDelivery(office.url, database, { onFault: (sentence) => faults.push(sentence) })
  const stop = await startDelivery(delivery)
  // Queries meanwhile may be cut off too, and are repeated.
  await expect.poll(jobs, { timeout: 30_000 }).toEqual(['retry'])
  await stop()
  expect(await states()).toEqual(['waiting'])
  expect(faults).toEqual([expect.stringMatching(/^Mail delivery failed: /)])
  await expireRetryDelays(database)
  await sendDue(delivery)
  expect([await states(), office.taken.length]).toEqual([['uncertain'], 1])
})
