import { beforeAll, beforeEach, expect, test } from 'vitest'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import { startDelivery } from '@/lib/digest/delivery/startDelivery'
import { DAY, HOUR } from '@/lib/hold/zone'
import type { TestDatabase } from '@/tests/setup/database'
import { clearMails, openMailDesk } from '@/tests/setup/mailDesk'
import type { MailServer } from './mailServer'
import { ADMINISTRATOR, addPerson, createDelivery, NOW, readMailStates, sendDue } from './programme'

let database: TestDatabase
let office: MailServer
let ada: string
beforeAll(async () => {
  ;({ database, office, ada } = await openMailDesk())
})
beforeEach(async () => {
  await clearMails({ database, office })
})

/** Saturday 28 November 2026, noon UTC, three days before Tuesday of the next week. */
const SATURDAY = NOW + 4 * DAY

test('the mail that goes while the clock is three days ahead is that week’s only one', async () => {
  const send = (now: number) => sendDue(createDelivery(office.url, database, { now: () => now }))
  await send(SATURDAY)
  await send(SATURDAY + 3 * DAY)
  const weeks = async () =>
    (await database.authPool.query('select occasion, state from digest_mail order by occasion')).rows
  const both = [
    { occasion: '2026-W48', state: 'sent' },
    { occasion: '2026-W49', state: 'sent' },
  ]
  expect(await weeks()).toEqual(both)
  // The clock is back, and later the hour of the mail that went early comes.
  for (const days of [0, 1, 2, 3, 8]) await send(SATURDAY + days * DAY + HOUR)
  expect(await weeks()).toEqual(both)
  expect(office.taken).toHaveLength(2)
  await send(SATURDAY + 10 * DAY)
  expect(await weeks()).toEqual([...both, { occasion: '2026-W50', state: 'sent' }])
  expect(office.taken).toHaveLength(3)
})

test('a weekly mail that was made while the clock was ahead, and was not sent, waits for its hour', async () => {
  const send = (now: number) => sendDue(createDelivery(office.url, database, { now: () => now }))
  await send(SATURDAY)
  await pollDueMail({ ...database, now: SATURDAY + 3 * DAY })
  await send(SATURDAY + HOUR)
  expect(await readMailStates(database, '2026-W49')).toMatchObject([{ state: 'waiting', tries: 0 }])
  await send(SATURDAY + 3 * DAY)
  expect(await readMailStates(database, '2026-W49')).toMatchObject([{ state: 'sent', tries: 1 }])
  expect(office.taken).toHaveLength(2)
})

test('a queue that ran while the clock was ahead polls and sends again once it is back', async () => {
  await database.authPool.query('insert into digest_mail (person_id, occasion, due_at) values ($1, $2, $3)', [
    ada,
    '2026-W48',
    new Date(NOW),
  ])
  await sendDue(createDelivery('smtp://127.0.0.1:1', database))
  expect(await readMailStates(database)).toMatchObject([{ state: 'waiting' }])
  await addPerson(database, 'bob@test.invalid', [ADMINISTRATOR])
  // As if all that was three days later.
  await database.owner.query(`
    update queue.job set created_on = created_on + interval '3 days', start_after = start_after + interval '3 days',
      started_on = started_on + interval '3 days', singleton_on = singleton_on + interval '3 days';
    update queue.version set cron_on = now() + interval '3 days', maintained_on = now() + interval '3 days'`)
  const stop = await startDelivery(createDelivery(office.url, database))
  try {
    const states = async () => (await readMailStates(database)).map(({ state }) => state)
    // The next poll, which finds the second person's mail, is a minute away at most.
    await expect.poll(states, { timeout: 100_000 }).toEqual(['sent', 'sent'])
  } finally {
    await stop()
  }
  expect(office.taken).toHaveLength(2)
})
