import { expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { enqueueAlerts } from '@/lib/digest/alerts/enqueueAlerts'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { updatePerson } from '@/lib/store/people/people'
import { transact } from '@/lib/store/scope/prisma'
import { KIT, OTHER_KIT } from '@/tests/cases/smallProgramme'
import { createAlertProgramme, MINUTE } from './alertProgramme'
import { startMailServer } from './mailServer'
import { expireRetryDelays } from './programme'

type Programme = Awaited<ReturnType<typeof createAlertProgramme>>

/** Makes a person a contact of these plants and no others. */
async function move({ authPool, ids, now }: Programme, name: string, from: string[], to: string[]) {
  const roles = { ...NO_ROLES, plants: from }
  const before = { email: `${name}@test.invalid`, name, zone: 'UTC', roles, hasLeft: false }
  const after = { ...before, roles: { ...roles, plants: to } }
  const actor = { who: 'command', name: 'a test', address: null }
  await transact(authPool, async (db, audit) =>
    audit(actor, now, ...(await updatePerson(db, ids[name] as string, { before, after }, now))),
  )
}

test('a retried mail that has nothing left for its reader does not keep its earlier text', async () => {
  let isBusy = true
  const office = await startMailServer(async () =>
    isBusy ? { isTaken: false, code: 451 } : { isTaken: true },
  )
  try {
    const programme = await createAlertProgramme(office)
    await programme.choose('ann')
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now)
    await programme.tick()
    const kept = async () =>
      (
        await programme.authPool.query<{ state: string; text: string | null; subject: string | null }>(
          `select state, body_text as text, subject from digest_mail where occasion !~ '-W'`,
        )
      ).rows
    expect(await kept()).toMatchObject([
      { state: 'waiting', text: expect.stringContaining(formatKitCode(KIT)) },
    ])
    await move(programme, 'ann', ['PL1'], ['PL2'])
    isBusy = false
    programme.now += 2 * MINUTE
    await expireRetryDelays(programme)
    await programme.tick()
    expect(await kept()).toEqual([{ state: 'nothing to say', text: null, subject: null }])
    expect(await office.read()).toEqual([])
  } finally {
    await office.close()
  }
})

test('a stand-in who may no longer see some of several samples gets an alert about the rest', async () => {
  const office = await startMailServer()
  try {
    const programme = await createAlertProgramme(office)
    await move(programme, 'mia', ['PL1'], ['PL1', 'PL2'])
    for (const name of ['ann', 'ben', 'mia']) await programme.choose(name)
    for (const name of ['ann', 'ben'])
      await programme.authPool.query(
        `update digest_preference set stand_in_id = $2, stand_in_from = $3, stand_in_until = $3 where person_id = $1`,
        [programme.ids[name], programme.ids.mia, new Date(programme.now).toISOString().slice(0, 10)],
      )
    await programme.tick()
    programme.now += MINUTE
    for (const sample of [KIT, OTHER_KIT]) await programme.report('received', programme.now, { sample })
    await enqueueAlerts({ app: programme.app, authPool: programme.authPool, now: programme.now })
    await move(programme, 'mia', ['PL1', 'PL2'], ['PL2'])
    await programme.tick()
    const [mail, ...more] = await office.read()
    expect(more).toEqual([])
    expect(mail?.subject).toBe(`Holdfast: ${formatKitCode(OTHER_KIT)} has arrived`)
    expect(mail?.text).toContain('It is also for ben.')
    expect(`${mail?.text} ${mail?.html}`).not.toMatch(
      new RegExp(`${KIT}|${formatKitCode(KIT)}|Felt tile|\\bann\\b`),
    )
  } finally {
    await office.close()
  }
})
