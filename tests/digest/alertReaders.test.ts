import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { enqueueAlerts } from '@/lib/digest/alerts/enqueueAlerts'
import { createAlertProgramme, DAY, formatMails, MINUTE } from './alertProgramme'
import { type MailServer, startMailServer } from './mailServer'

let office: MailServer
let programme: Awaited<ReturnType<typeof createAlertProgramme>>
beforeAll(async () => {
  office = await startMailServer()
})
beforeEach(async () => {
  programme = await createAlertProgramme(office)
})

describe('a stand-in', () => {
  const away = (to: string) =>
    programme.authPool.query(
      `update digest_preference set stand_in_id = $2, stand_in_from = $3, stand_in_until = $3 where person_id = $1`,
      [programme.ids.ann, programme.ids[to], new Date(programme.now).toISOString().slice(0, 10)],
    )
  const arrive = async () => {
    await programme.report('collected', programme.now - DAY)
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now)
    await programme.tick()
  }

  test('gets the alert of the person who is away, whom it names', async () => {
    await programme.choose('ann')
    await away('mia')
    await arrive()
    expect((await office.read())[0]?.text).toContain('It is also for ann.')
    expect(await programme.arrived()).toEqual(formatMails(['mia'], 'has arrived'))
  })

  test('who may not see the sample gets no alert, and the person who is away does', async () => {
    await programme.choose('ann')
    await away('ben')
    await arrive()
    expect(await programme.arrived()).toEqual(formatMails(['ann'], 'has arrived'))
  })

  test('who has stopped alerts gets none, and the person who is away does', async () => {
    await programme.choose('ann')
    await away('mia')
    await programme.authPool.query(
      'update digest_preference set at_once_is_stopped = true where person_id = $1',
      [programme.ids.mia],
    )
    await arrive()
    expect(await programme.arrived()).toEqual(formatMails(['ann'], 'has arrived'))
  })
})

test.each(['dock', 'mia'])('a mailbox shared by two people, %s’s, gets one mail', async (box) => {
  for (const name of ['ann', 'mia']) await programme.choose(name)
  await programme.authPool.query(
    `update digest_preference set mailbox = $2 from person where person_id = any($1) and id = person_id and email <> $2`,
    [[programme.ids.ann, programme.ids.mia], `${box}@test.invalid`],
  )
  await programme.report('collected', programme.now - DAY)
  await programme.tick()
  programme.now += MINUTE
  await programme.report('received', programme.now)
  await programme.tick()
  expect(await programme.arrived()).toEqual(formatMails([box], 'has arrived'))
})

test.each(['digest_mail', 'queue.job'])(
  'a look that dies as it writes to %s leaves all to the next one',
  async (table) => {
    await programme.choose('ann')
    await programme.report('collected', programme.now - DAY)
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now)
    const blocker = await programme.owner.connect()
    await blocker.query(`begin; lock table ${table} in exclusive mode`)
    const look = enqueueAlerts({
      app: programme.app,
      authPool: programme.authPool,
      now: programme.now,
    }).catch((error: Error) => error)
    const stuck = () =>
      programme.owner.query<{ pid: number }>(
        `select pid from pg_stat_activity where datname = current_database() and wait_event_type = 'Lock'`,
      )
    await expect.poll(async () => (await stuck()).rowCount).toBe(1)
    await programme.owner.query('select pg_terminate_backend($1)', [(await stuck()).rows[0]?.pid])
    expect(await look).toBeInstanceOf(Error)
    await blocker.query('rollback')
    blocker.release()
    expect(await programme.rows()).toEqual([])
    await programme.tick()
    expect(await programme.arrived()).toEqual(formatMails(['ann'], 'has arrived'))
  },
)
