import { afterEach, beforeAll, describe, expect, test } from 'vitest'
import type { OnStep } from '@/lib/digest/delivery/sendQueuedMail'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { CUTS, type Cut, type CuttingMailServer, startCuttingMailServer } from './cuttingMailServer'
import {
  ADMINISTRATOR,
  addPerson,
  createDelivery,
  deleteMails,
  expireRetryDelays,
  readMailStates,
  sendDue,
} from './programme'

let database: TestDatabase
let office: CuttingMailServer
beforeAll(async () => {
  database = await makeTestDatabase()
  await addPerson(database, 'ada@test.invalid', [ADMINISTRATOR])
  // A commit of a handover waits while the test holds the lock.
  await database.owner.query(`
    create function slow_commit() returns trigger language plpgsql as
      $$ begin perform pg_advisory_xact_lock(12); return null; end $$;
    create constraint trigger slow_commit after insert on digest_handover deferrable initially deferred
      for each row execute function slow_commit()`)
})
afterEach(() => office.close())

async function startOffice(cut: Cut | null) {
  await deleteMails(database)
  let isCut = false
  office = await startCuttingMailServer((reached) => {
    if (isCut || reached !== cut) return false
    isCut = true
    return true
  })
}

/** Tries to send while the server cuts once; the commit of the handover waits until the client has noticed if `isSlow`. */
async function sendThroughCut(cut: Cut, isSlow: boolean) {
  await startOffice(cut)
  const delivery = createDelivery(office.url, database)
  const holder = await database.owner.connect()
  try {
    if (isSlow) await holder.query('select pg_advisory_lock(12)')
    const sending = sendDue(delivery)
    await expect.poll(() => office.left, { timeout: 20_000 }).toBe(1)
    await holder.query('select pg_advisory_unlock_all()')
    await sending
  } finally {
    holder.release()
  }
  const first = await readMailStates(database)
  await expireRetryDelays(database)
  await sendDue(delivery)
  return { first, last: await readMailStates(database) }
}

const BEFORE_WHOLE = CUTS.slice(0, CUTS.indexOf('after the last line'))

describe.each([false, true])('a mail whose connection is cut (with a slow commit: %s)', (isSlow) => {
  test.each(BEFORE_WHOLE)(
    '%s waits with the reason of the cut, and is sent once by the next try',
    async (cut) => {
      const { first, last } = await sendThroughCut(cut, isSlow)
      expect(first).toMatchObject([{ state: 'waiting', said: expect.stringMatching(/connection/i) }])
      expect(last).toMatchObject([{ state: 'sent' }])
      expect(office.mails.filter(({ isWhole, isLate }) => isWhole || isLate)).toHaveLength(1)
    },
  )
})

test('a mail whose connection is cut after the last line is in doubt, and not sent again', async () => {
  const { first, last } = await sendThroughCut('after the last line', false)
  expect([first, last]).toMatchObject([[{ state: 'uncertain' }], [{ state: 'uncertain' }]])
  expect(office.mails).toMatchObject([{ isWhole: true, isAnswered: false }])
})

test('a mail whose connection is cut after the answer is sent', async () => {
  const { last } = await sendThroughCut('after the answer', false)
  expect(last).toMatchObject([{ state: 'sent' }])
  expect(office.mails).toMatchObject([{ isWhole: true, isAnswered: true }])
})

test('a mail whose handover cannot be committed waits, and is sent once by the next try', async () => {
  await startOffice(null)
  const faults: string[] = []
  const delivery = createDelivery(office.url, database, { onFault: (sentence) => faults.push(sentence) })
  const holder = await database.owner.connect()
  try {
    await holder.query('select pg_advisory_lock(12)')
    const sending = sendDue(delivery)
    const ended = `select pg_terminate_backend(pid) from pg_stat_activity
      where datname = current_database() and wait_event = 'advisory' and query ~ 'digest_handover'`
    await expect.poll(async () => (await holder.query(ended)).rowCount, { timeout: 20_000 }).toBe(1)
    await holder.query('select pg_advisory_unlock_all()')
    await sending
  } finally {
    holder.release()
  }
  expect(faults).toEqual([expect.stringMatching(/^Mail delivery failed: /)])
  expect(await readMailStates(database)).toMatchObject([{ state: 'waiting' }])
  await expireRetryDelays(database)
  await sendDue(delivery)
  expect(await readMailStates(database)).toMatchObject([{ state: 'sent' }])
  expect(office.mails.filter(({ isWhole, isLate }) => isWhole || isLate)).toHaveLength(1)
})

test('a try that fails leaves the handover that another one has committed', async () => {
  await startOffice('after RCPT')
  const onStep: OnStep = async (step, { personId, occasion }) => {
    if (step !== 'composed') return
    await database.authPool.query(
      'insert into digest_handover (person_id, occasion, attempt, begun_at) values ($1, $2, gen_random_uuid(), now())',
      [personId, occasion],
    )
  }
  const delivery = createDelivery(office.url, database, { onStep })
  await sendDue(delivery)
  await expireRetryDelays(database)
  await sendDue(delivery)
  expect(await readMailStates(database)).toMatchObject([{ state: 'uncertain' }])
  expect(office.mails).toEqual([])
})
