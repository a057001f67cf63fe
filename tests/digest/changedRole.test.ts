import { expect, test } from 'vitest'
import { displayCode } from '@/lib/custody/kitCode'
import { enterAtOnce } from '@/lib/digest/alerts/atOnceRound'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { updatePerson } from '@/lib/store/people/people'
import { transact } from '@/lib/store/scope/prismaOf'
import { KIT, OTHER_KIT } from '@/tests/cases/smallProgramme'
import { atOnceProgramme, MINUTE } from './atOnceProgramme'
import { openPostOffice } from './postOffice'
import { letWaitsPass } from './programme'

type Programme = Awaited<ReturnType<typeof atOnceProgramme>>

/** Makes a person a contact of these plants and no others. */
async function move({ door, ids, now }: Programme, name: string, from: string[], to: string[]) {
  const roles = { ...NO_ROLES, plants: from }
  const before = { email: `${name}@test.invalid`, name, zone: 'UTC', roles, hasLeft: false }
  const after = { ...before, roles: { ...roles, plants: to } }
  const actor = { who: 'command', name: 'a test', address: null }
  await transact(door, async (db, audit) =>
    audit(actor, now, ...(await updatePerson(db, ids[name] as string, { before, after }, now))),
  )
}

test('a mail that was put off, and has nothing for its reader any more, does not keep how it read before', async () => {
  let isBusy = true
  const office = await openPostOffice(async () =>
    isBusy ? { isTaken: false, code: 451 } : { isTaken: true },
  )
  try {
    const programme = await atOnceProgramme(office)
    await programme.choose('ann')
    await programme.tick()
    programme.now += MINUTE
    await programme.report('received', programme.now)
    await programme.tick()
    const kept = async () =>
      (
        await programme.door.query<{ state: string; text: string | null; subject: string | null }>(
          `select state, body_text as text, subject from digest_mail where occasion !~ '-W'`,
        )
      ).rows
    expect(await kept()).toMatchObject([
      { state: 'waiting', text: expect.stringContaining(displayCode(KIT)) },
    ])
    await move(programme, 'ann', ['PL1'], ['PL2'])
    isBusy = false
    programme.now += 2 * MINUTE
    await letWaitsPass(programme)
    await programme.tick()
    expect(await kept()).toEqual([{ state: 'nothing to say', text: null, subject: null }])
    expect(await office.read()).toEqual([])
  } finally {
    await office.close()
  }
})

test('a stand-in who sees some of several samples no more is told of the rest, and for whom else it is of these alone', async () => {
  const office = await openPostOffice()
  try {
    const programme = await atOnceProgramme(office)
    await move(programme, 'mia', ['PL1'], ['PL1', 'PL2'])
    for (const name of ['ann', 'ben', 'mia']) await programme.choose(name)
    for (const name of ['ann', 'ben'])
      await programme.door.query(
        `update digest_preference set stand_in_id = $2, stand_in_from = $3, stand_in_until = $3 where person_id = $1`,
        [programme.ids[name], programme.ids.mia, new Date(programme.now).toISOString().slice(0, 10)],
      )
    await programme.tick()
    programme.now += MINUTE
    for (const sample of [KIT, OTHER_KIT]) await programme.report('received', programme.now, { sample })
    await enterAtOnce({ app: programme.app, door: programme.door, now: programme.now })
    await move(programme, 'mia', ['PL1', 'PL2'], ['PL2'])
    await programme.tick()
    const [mail, ...more] = await office.read()
    expect(more).toEqual([])
    expect(mail?.subject).toBe(`Holdfast: ${displayCode(OTHER_KIT)} has arrived`)
    expect(mail?.text).toContain('It is also for ben.')
    expect(`${mail?.text} ${mail?.html}`).not.toMatch(
      new RegExp(`${KIT}|${displayCode(KIT)}|Felt tile|\\bann\\b`),
    )
  } finally {
    await office.close()
  }
})
