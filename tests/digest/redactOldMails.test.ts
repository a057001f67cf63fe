import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { pollDueMail } from '@/lib/digest/delivery/pollDueMail'
import { startDelivery } from '@/lib/digest/delivery/startDelivery'
import { MAIL_RETENTION_MS, readLastOverdueKeys, redactOldMails } from '@/lib/store/mail/digestMails'
import { resendMail } from '@/lib/store/mail/mailJobs'
import { readMail } from '@/lib/store/mail/mailStatus'
import { withTransaction } from '@/lib/store/scope/transaction'
import type { TestDatabase } from '@/tests/setup/database'
import { clearMails, openMailDesk } from '@/tests/setup/mailDesk'
import type { MailServer } from './mailServer'
import { createDelivery, NOW, sendDue, WEEK } from './programme'

/** Half a year after NOW, when the mails ended. */
const OLD = NOW + MAIL_RETENTION_MS + 1
const ACTOR = { who: 'command', name: 'a test', address: null }
let database: TestDatabase
let office: MailServer
let ada: string
beforeAll(async () => {
  ;({ database, office, ada } = await openMailDesk())
})
beforeEach(async () => {
  await clearMails({ database, office })
})

const empty = (now: number) => withTransaction(database.authPool, (client) => redactOldMails(client, now))
const row = async (occasion = WEEK) => {
  const { rows } = await database.authPool.query('select * from digest_mail where occasion = $1', [occasion])
  return rows[0]
}

describe('half a year after a mail went', () => {
  beforeEach(async () => {
    await sendDue(createDelivery(office.url, database))
  })

  test('its text, its address and the server’s words are redacted; person, occasion and state stay', async () => {
    const before = await row()
    expect(before).toMatchObject({ address: 'ada@test.invalid', state: 'sent', emptied_at: null })
    expect(before.body_html).toContain('<html')
    expect(await empty(NOW + MAIL_RETENTION_MS)).toBe(0)
    expect(await row()).toEqual(before)
    expect(await empty(OLD)).toBe(1)
    expect(await row()).toEqual({
      ...before,
      address: null,
      message_id: null,
      subject: null,
      body_text: null,
      body_html: null,
      named: [],
      said: null,
      emptied_at: new Date(OLD),
    })
    expect(await empty(OLD + 1)).toBe(0)
    const { rows } = await database.owner.query(
      'select from digest_mail where digest_mail::text like $1 or digest_mail::text like $2',
      ['%ada@test.invalid%', '%<html%'],
    )
    expect(rows).toEqual([])
    expect(await readMail(database.authPool, ada, WEEK)).toMatchObject({
      state: 'sent',
      emptiedAt: OLD,
      text: null,
    })
  })

  test('its week brings no second one, and an administrator cannot resend it', async () => {
    await database.owner.query(`update digest_mail set state = 'uncertain'`)
    await empty(OLD)
    await pollDueMail({ ...database, now: NOW })
    await sendDue(createDelivery(office.url, database))
    expect(office.taken).toHaveLength(1)
    expect(await resendMail(database.authPool, { personId: ada, occasion: WEEK }, ACTOR, OLD)).toBe(false)
    expect(await row()).toMatchObject({ state: 'uncertain', emptied_at: new Date(OLD) })
  })

  test('the next one is composed like a first one, and does not mark everything as new', async () => {
    expect(await readLastOverdueKeys(database.authPool, ada, OLD)).toMatchObject({ at: NOW })
    await empty(OLD)
    expect(await readLastOverdueKeys(database.authPool, ada, OLD)).toBeNull()
  })

  test('the queue redacts it, however many servers poll', async () => {
    await database.owner.query('update queue.version set cron_on = null')
    const later = { now: () => OLD }
    const stops = await Promise.all(
      [1, 2].map(() => startDelivery(createDelivery(office.url, database, later))),
    )
    try {
      await expect.poll(async () => (await row()).emptied_at, { timeout: 100_000 }).toEqual(new Date(OLD))
    } finally {
      await Promise.all(stops.map((stop) => stop()))
    }
    expect((await row()).body_html).toBeNull()
  }, 120_000)
})

test('a waiting mail is not redacted, however old, and many mails are redacted in parts', async () => {
  const insert = (state: string, count: number, ended: Date | null) =>
    database.owner.query(
      `insert into digest_mail (person_id, occasion, due_at, state, body_html, ended_at)
       select $1, $2 || n, $3, $2, '<html>', $4 from generate_series(1, $5) n`,
      [ada, state, new Date(NOW), ended, count],
    )
  await insert('waiting', 1, null)
  await insert('refused', 1_200, new Date(NOW))
  expect([await empty(OLD), await empty(OLD), await empty(OLD)]).toEqual([1_000, 200, 0])
  expect(await row('waiting1')).toMatchObject({ body_html: '<html>', emptied_at: null })
})

describe('the role that sends', () => {
  const refused = async (sql: string, role: 'authPool' | 'app') =>
    expect(database[role].query(sql)).rejects.toThrow(/permission denied/)

  test('cannot delete a row, or change its person, week or time', async () => {
    for (const sql of [
      'delete from digest_mail',
      'truncate digest_mail',
      `update digest_mail set person_id = 'x'`,
      `update digest_mail set occasion = 'x'`,
      'update digest_mail set due_at = now()',
      'update digest_mail set carried_by = null',
    ])
      await refused(sql, 'authPool')
  })

  test('cannot mark a mail as redacted that has text, or make a redacted one wait', async () => {
    await sendDue(createDelivery(office.url, database))
    const attempt = database.authPool.query('update digest_mail set emptied_at = now()')
    await expect(attempt).rejects.toThrow(/digest_mail_emptied/)
    await empty(OLD)
    const again = database.authPool.query(`update digest_mail set state = 'waiting', ended_at = null`)
    await expect(again).rejects.toThrow(/digest_mail_emptied/)
  })

  test('is not the role that reads samples, which cannot see mails', async () => {
    await refused('select from digest_mail', 'app')
    await refused('update digest_mail set emptied_at = now()', 'app')
  })
})
