import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { createComposer } from '@/lib/digest/delivery/createComposer'
import { fillTwoMakers, KITS } from '@/tests/access/twoMakers'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { clearMails } from '@/tests/setup/mailDesk'
import { type MailServer, startMailServer } from './mailServer'
import { addPerson, createDelivery, readMailStates, SITE, sendDue, withdrawDispatches } from './programme'

// The programme of two makers is relative to now, and so are its mails.
const NOW = Date.now()
let database: TestDatabase
let office: MailServer
const ids: Record<string, string> = {}
beforeAll(async () => {
  database = await makeTestDatabase()
  await fillTwoMakers(database)
  await withdrawDispatches(database, Date.now())
  await database.authPool.query(`delete from person where id = 'p1'`)
  office = await startMailServer()
  ids.ann = await addPerson(database, 'ann@test.invalid', [{ role: 'plant contact', place: 'PL1' }])
  ids.ben = await addPerson(database, 'ben@test.invalid', [{ role: 'plant contact', place: 'PL2' }])
  ids.cas = await addPerson(database, 'cas@test.invalid', [
    { role: 'plant contact', place: 'PL1' },
    { role: 'plant contact', place: 'PL3' },
  ])
})
beforeEach(async () => {
  await clearMails({ database, office })
  await database.owner.query('delete from digest_preference')
})

const send = () => sendDue(createDelivery(office.url, database, { now: () => NOW }))
const day = (offset: number) => new Date(NOW + offset * 86_400_000).toISOString().slice(0, 10)
const mailTo = async (address: string) =>
  (await office.read()).find(({ to }) => [to].flat()[0]?.value[0]?.address === address)
const week = async () => {
  const { rows } = await database.authPool.query<{ occasion: string }>(
    'select occasion from digest_mail limit 1',
  )
  return rows[0]?.occasion ?? ''
}

test('each person’s mail names samples of their own plants, and of no other maker’s', async () => {
  await send()
  expect(office.taken).toHaveLength(3)
  const [ann, ben] = [await mailTo('ann@test.invalid'), await mailTo('ben@test.invalid')]
  for (const body of [ann?.text, ann?.html]) {
    expect(body).toContain(formatKitCode(KITS['PL1 LAB2']))
    expect(body).not.toContain(formatKitCode(KITS['PL2 LAB']))
  }
  expect(ben?.text).toContain(formatKitCode(KITS['PL2 LAB']))
  expect(ben?.text).not.toContain(formatKitCode(KITS['PL1 LAB']))
  expect(ann?.text).toContain(`https://holdfast.example/samples/${KITS['PL1 LAB']}`)
})

describe('a stand-in', () => {
  const standIn = (who: string, from: number, until: number) =>
    database.authPool.query(
      `insert into digest_preference (person_id, stand_in_id, stand_in_from, stand_in_until) values ($1, $2, $3, $4)`,
      [ids.ann, who, day(from), day(until)],
    )

  test('gets one mail for both on the days of absence', async () => {
    await standIn(ids.cas as string, -1, 1)
    await send()
    expect(await mailTo('ann@test.invalid')).toBeUndefined()
    expect((await mailTo('cas@test.invalid'))?.text).toContain('It is also for ann.')
    const found = await readMailStates(database, await week())
    expect(found.map(({ email, state }) => [email, state])).toEqual([
      ['ann@test.invalid', 'carried'],
      ['ben@test.invalid', 'sent'],
      ['cas@test.invalid', 'sent'],
    ])
  })

  test('gets no mail of theirs before and after', async () => {
    await standIn(ids.cas as string, 2, 9)
    await send()
    expect(await mailTo('ann@test.invalid')).toBeDefined()
  })

  test('of another maker sees nothing that they may not see', async () => {
    await standIn(ids.ben as string, -1, 1)
    await send()
    const mail = await mailTo('ben@test.invalid')
    expect(mail?.text).not.toContain(formatKitCode(KITS['PL1 LAB']))
    expect((await mailTo('ann@test.invalid'))?.text).toContain(formatKitCode(KITS['PL1 LAB']))
  })
})

test('a shared mailbox gets one mail with everyone’s tasks', async () => {
  for (const who of [ids.ann, ids.ben])
    await database.authPool.query(
      `insert into digest_preference (person_id, mailbox) values ($1, 'dock@test.invalid')`,
      [who],
    )
  await send()
  expect(office.taken).toHaveLength(2)
  const mail = await mailTo('dock@test.invalid')
  expect(mail?.text).toContain(formatKitCode(KITS['PL1 LAB']))
  expect(mail?.text).toContain(formatKitCode(KITS['PL2 LAB']))
})

test('a stop between enqueueing and sending holds', async () => {
  await database.authPool.query('insert into digest_preference (person_id, is_wanted) values ($1, false)', [
    ids.ann,
  ])
  const { compose } = createComposer({
    app: database.app,
    authPool: database.authPool,
    site: SITE,
    now: NOW,
  })
  const claimed = { personId: ids.ann as string, occasion: '2026-W48', dueAt: NOW }
  expect(await compose(claimed)).toBe(null)
  await send()
  expect(await mailTo('ann@test.invalid')).toBeUndefined()
})

test('a person who wants no mail when nothing is overdue gets none, and the row says so', async () => {
  // A plant that has sent nothing owes nothing on any day of the week.
  const idle = await addPerson(database, 'idle@test.invalid', [{ role: 'plant contact', place: 'PL3' }])
  await database.authPool.query(
    'insert into digest_preference (person_id, wants_quiet_line) values ($1, false)',
    [idle],
  )
  await send()
  expect(await mailTo('idle@test.invalid')).toBeUndefined()
  const states = await readMailStates(database, await week())
  expect(states.find(({ email }) => email === 'idle@test.invalid')).toMatchObject({ state: 'nothing to say' })
})

test('the next week’s mail says how much has changed since the last', async () => {
  await send()
  await database.owner.query(
    `update digest_mail set named = '{gone}', due_at = due_at - interval '7 days', ended_at = ended_at - interval '7 days', occasion = '2026-W01'`,
  )
  await database.owner.query('delete from digest_handover')
  office.taken.splice(0)
  await send()
  const mail = await mailTo('cas@test.invalid')
  expect(mail?.text).toContain('SINCE THE MAIL OF')
  expect(mail?.text).toContain('1 task in that mail is no longer overdue.')
})
