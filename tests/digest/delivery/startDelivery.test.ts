import type { SMTPServerOptions } from 'smtp-server'
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { listRejectedAddresses } from '@/lib/store/mail/mailStatus'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'
import { type AnswerMail, type MailServer, startMailServer } from '../mailServer'
import {
  ADMINISTRATOR,
  addPerson,
  createDelivery,
  deleteMails,
  expireRetryDelays,
  NOW,
  readMailStates,
  SITE,
  sendDue,
  WEEK,
} from '../programme'

let database: TestDatabase
const offices: MailServer[] = []
beforeAll(async () => {
  database = await makeTestDatabase()
  await addPerson(database, 'ada@test.invalid', [ADMINISTRATOR], { name: 'Ada, of the office' })
})
beforeEach(() => deleteMails(database))
afterEach(async () => {
  for (const office of offices.splice(0)) await office.close()
})

async function postOffice(atTheEnd?: AnswerMail, options?: SMTPServerOptions): Promise<MailServer> {
  const office = await startMailServer(atTheEnd, options)
  offices.push(office)
  return office
}

const MINUTE = 60_000
const readOnlyMail = async () => (await readMailStates(database))[0]
/** The delay before the next try, s. */
const waitSeconds = async () => {
  const { rows } = await database.authPool.query<{ wait: number }>(
    `select extract(epoch from start_after - now())::float as wait from queue.job where name = 'mail' and state = 'retry'`,
  )
  return rows[0]?.wait ?? 0
}

describe('a mail that a server accepts', () => {
  test('is complete: from, to, reply-to, Message-ID, text and HTML, and a link to stop', async () => {
    const office = await postOffice()
    await sendDue(createDelivery(office.url, database))
    const [mail] = await office.read()
    expect(mail?.from?.value).toEqual([{ address: 'desk@holdfast.example', name: 'Holdfast' }])
    expect([mail?.to].flat()[0]?.value).toEqual([{ address: 'ada@test.invalid', name: 'Ada, of the office' }])
    expect(mail?.replyTo?.value[0]?.address).toBe('office@holdfast.example')
    expect(mail?.messageId).toMatch(/^<digest\.2026-W48\.[0-9a-f]{32}@holdfast\.example>$/)
    expect(mail?.date?.getTime()).toBe(NOW)
    expect(mail?.subject).toBe('Holdfast 2026-W48: nothing to do')
    expect(mail?.headers.get('auto-submitted')).toBe('auto-generated')
    for (const body of [mail?.text, mail?.html]) {
      expect(body).toContain('Nothing is overdue, and nothing is yours to do.')
      expect(body).toContain('https://holdfast.example/me')
    }
    const lines = new Map(mail?.headerLines.map(({ key, line }) => [key, line]))
    const [, stop = ''] =
      /^List-Unsubscribe: <(https:[^>]+)>$/.exec(lines.get('list-unsubscribe') ?? '') ?? []
    expect(stop).toMatch(/^https:\/\/holdfast\.example\/api\/digest\/stop\?token=[\w.-]+$/)
    expect(lines.get('list-unsubscribe-post')).toBe('List-Unsubscribe-Post: List-Unsubscribe=One-Click')
    expect(mail?.text).toContain(stop)
  })

  test('is saved as it was sent, and not sent again by a second run or at another hour of the week', async () => {
    const office = await postOffice()
    const delivery = createDelivery(office.url, database)
    await sendDue(delivery)
    await sendDue(delivery)
    await database.authPool.query('insert into digest_time (weekday, minute_of_day) values (2, 60)')
    await sendDue(delivery)
    await database.owner.query('delete from digest_time')
    expect(office.taken).toHaveLength(1)
    const kept = await database.authPool.query(
      'select state, address, message_id as id, subject, body_text as text, tries from digest_mail',
    )
    const [mail] = await office.read()
    expect(kept.rows).toEqual([
      {
        state: 'sent',
        address: 'ada@test.invalid',
        id: mail?.messageId,
        subject: mail?.subject,
        text: expect.stringContaining('Nothing is overdue'),
        tries: 1,
      },
    ])
  })

  test('announces one-click unsubscription only if the site has HTTPS', async () => {
    const office = await postOffice()
    await sendDue(createDelivery(office.url, database, { site: { ...SITE, url: 'http://localhost:3000' } }))
    const [mail] = await office.read()
    expect(mail?.headers.has('list-unsubscribe-post')).toBe(false)
  })
})

describe('a server that', () => {
  test('replies late is waited for while other senders poll, and gets one mail', async () => {
    const office = await postOffice(async () => {
      await new Promise((resolve) => setTimeout(resolve, 700))
      return { isTaken: true }
    })
    await Promise.all([1, 2, 3].map(() => sendDue(createDelivery(office.url, database))))
    expect(office.taken).toHaveLength(1)
    expect(await readOnlyMail()).toMatchObject({ state: 'sent' })
  })

  test('replies after the timeout, or hangs up after the whole mail, leaves it in doubt and gets none twice', async () => {
    for (const way of ['stalls', 'hangs up'] as const) {
      await deleteMails(database)
      const office = await postOffice(async () => {
        if (way === 'stalls') await new Promise((resolve) => setTimeout(resolve, 1_500))
        return { isTaken: true, hangsUp: true }
      })
      await sendDue(createDelivery(office.url, database))
      await expireRetryDelays(database)
      await sendDue(createDelivery(office.url, database, { now: () => NOW + 600 * MINUTE }))
      await expect.poll(() => office.taken.length).toBe(1)
      expect(await readOnlyMail(), way).toMatchObject({ state: 'uncertain', tries: 1 })
    }
  })

  test('asks to retry is retried with growing delay until it accepts', async () => {
    const office = await postOffice(async (_text, count) =>
      count < 3 ? { isTaken: false, code: 451 } : { isTaken: true },
    )
    const delivery = createDelivery(office.url, database)
    await sendDue(delivery)
    expect(await readOnlyMail()).toMatchObject({
      state: 'waiting',
      said: expect.stringContaining('451'),
      tries: 1,
    })
    const first = await waitSeconds()
    await sendDue(delivery)
    expect(await readOnlyMail()).toMatchObject({ tries: 1 })
    await expireRetryDelays(database)
    await sendDue(delivery)
    expect(await readOnlyMail()).toMatchObject({ state: 'waiting', tries: 2 })
    const second = await waitSeconds()
    expect([first > 45, first <= 120, second > 105, second <= 240]).toEqual([true, true, true, true])
    await expireRetryDelays(database)
    await sendDue(delivery)
    expect(await readOnlyMail()).toMatchObject({ state: 'sent', tries: 3 })
    expect(office.taken).toHaveLength(1)
  })

  test('rejects the address is quoted and audited, and not retried', async () => {
    const office = await postOffice(undefined, {
      onRcptTo(_address, _session, done) {
        done(Object.assign(new Error('No such box in this house'), { responseCode: 550 }))
      },
    })
    await sendDue(createDelivery(office.url, database))
    await sendDue(createDelivery(office.url, database, { now: () => NOW + 600 * MINUTE }))
    expect(await readOnlyMail()).toMatchObject({
      state: 'refused',
      said: expect.stringContaining('550 No such box in this house'),
      tries: 1,
    })
    const audited = await database.owner.query(
      `select after from audit_entry where what = 'sent the weekly mail' order by seq desc limit 1`,
    )
    expect(audited.rows[0]?.after).toMatchObject({ week: WEEK, fate: 'refused' })
    expect(await listRejectedAddresses(database.authPool)).toMatchObject([
      { name: 'Ada, of the office', address: 'ada@test.invalid', said: expect.stringContaining('550') },
    ])
    const mailbox = (of: string | null) =>
      database.authPool.query(
        `insert into digest_preference (person_id, mailbox) select id, $1 from person
         on conflict (person_id) do update set mailbox = excluded.mailbox`,
        [of],
      )
    await mailbox('other@test.invalid')
    expect(await listRejectedAddresses(database.authPool)).toEqual([])
    await mailbox(null)
  })

  test('rejects one address still gets the next person’s mail', async () => {
    await addPerson(database, 'bob@test.invalid', [ADMINISTRATOR])
    const office = await postOffice(undefined, {
      onRcptTo({ address }, _session, done) {
        if (address.startsWith('ada')) done(Object.assign(new Error('No'), { responseCode: 550 }))
        else done()
      },
    })
    await sendDue(createDelivery(office.url, database))
    await database.owner.query(`update person set left_at = now() where email = 'bob@test.invalid'`)
    expect((await readMailStates(database)).map(({ state }) => state)).toEqual(['refused', 'sent'])
    expect(office.taken).toHaveLength(1)
  })

  test('is down is retried, and given up after four days', async () => {
    let now = NOW
    const delivery = createDelivery('smtp://127.0.0.1:9', database, { now: () => now })
    await sendDue(delivery)
    expect(await readOnlyMail()).toMatchObject({
      state: 'waiting',
      said: expect.stringContaining('ECONNREFUSED'),
    })
    const sixHoursLater = async () => {
      now += 6 * 60 * MINUTE
      await expireRetryDelays(database)
      await sendDue(delivery)
      return readOnlyMail()
    }
    // A job has nine tries; the last try of the second job is after the four days.
    for (let tries = 2; tries < 18; tries++)
      expect(await sixHoursLater()).toMatchObject({ state: 'waiting', tries })
    expect(await sixHoursLater()).toMatchObject({ state: 'given up', tries: 18 })
  })

  test('is down when a mail is caught up five days late is still tried nine times', async () => {
    const late = NOW + 5 * 24 * 60 * MINUTE
    const delivery = createDelivery('smtp://127.0.0.1:9', database, { now: () => late })
    for (let tries = 1; tries < 9; tries++) {
      await sendDue(delivery)
      expect(await readOnlyMail()).toMatchObject({ state: 'waiting', tries })
      await expireRetryDelays(database)
    }
    await sendDue(delivery)
    expect(await readOnlyMail()).toMatchObject({ state: 'given up', tries: 9 })
  })

  test('offers no TLS gets no password, nor does the audit log', async () => {
    const passwords: string[] = []
    const office = await postOffice(undefined, {
      authOptional: false,
      allowInsecureAuth: true,
      onAuth(auth, _session, done) {
        passwords.push(auth.password ?? '')
        done(null, { user: auth.username ?? '' })
      },
    })
    await sendDue(createDelivery(office.url.replace('//', '//someone:hidden@'), database))
    expect([passwords, office.taken]).toEqual([[], []])
    expect(JSON.stringify(await readOnlyMail())).not.toContain('hidden')
  })
})

test('after an outage of three weeks one mail is caught up, and the next week’s comes at its hour', async () => {
  const office = await postOffice()
  const week = 7 * 24 * 60 * MINUTE
  await sendDue(createDelivery(office.url, database, { now: () => NOW - 4 * week }))
  await sendDue(createDelivery(office.url, database))
  await sendDue(createDelivery(office.url, database, { now: () => NOW + 5 * 24 * 60 * MINUTE }))
  expect((await office.read()).map(({ subject }) => subject)).toEqual([
    'Holdfast 2026-W44: nothing to do',
    'Holdfast 2026-W48: nothing to do',
  ])
  await sendDue(createDelivery(office.url, database, { now: () => Date.UTC(2026, 10, 30, 6, 59) }))
  expect(office.taken).toHaveLength(2)
  await sendDue(createDelivery(office.url, database, { now: () => Date.UTC(2026, 10, 30, 7) }))
  expect(office.taken).toHaveLength(3)
})
