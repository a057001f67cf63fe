import { beforeEach, describe, expect, test } from 'vitest'
import {
  DEFAULT_PREFERENCE,
  type DigestPreference,
  type DigestStop,
  readDigestPreference,
  setDigestPreference,
  stopDigest,
} from '@/lib/store/people/digestPreference'
import { ensurePerson } from '@/lib/store/people/people'
import { makeTestDatabase, runBlocked, type TestDatabase } from '../../setup/database'

const NOW = Date.UTC(2026, 10, 10, 12)
const ACTOR = { who: 'person 1', name: 'Someone', address: '192.0.2.7' }

let database: TestDatabase
let count = 0
let id: string
beforeEach(async () => {
  database ??= await makeTestDatabase()
  const person = { email: `${count++}@test.invalid`, name: 'Someone', roles: [] }
  id = await ensurePerson(database.authPool, person, ACTOR, NOW)
})

const { alertsAreStopped: _, ...USUAL } = DEFAULT_PREFERENCE
const choose = (chosen: Partial<DigestPreference>, now = NOW) =>
  setDigestPreference(database.authPool, id, { ...USUAL, ...chosen }, ACTOR, now)
const chosen = () => readDigestPreference(database.authPool, id)
const stop = (list: DigestStop['list'], serial: number, personId = id) =>
  stopDigest(database.authPool, { personId, serial, list }, '192.0.2.7', NOW)

async function kept() {
  const { rows } = await database.owner.query(
    `select token_serial as weekly, at_once_serial as alerts,
       (select jsonb_object_agg(kind, (extract(epoch from since_at) * 1000)::bigint) from at_once_choice
        where at_once_choice.person_id = $1 and is_wanted) as since,
       (select array_agg(what order by seq) from audit_entry where subject = $1 and what <> 'entered a person') as lines
     from digest_preference where person_id = $1`,
    [id],
  )
  return rows[0]
}

describe('what a person chooses about their mail', () => {
  test('is the default until they choose, and then their choice, to the day', async () => {
    expect(await chosen()).toEqual(DEFAULT_PREFERENCE)
    const standInId = await ensurePerson(
      database.authPool,
      { email: `in-${id}@test.invalid`, name: 'In', roles: [] },
      ACTOR,
      NOW,
    )
    const wish: typeof USUAL = {
      ...{ language: 'pt-BR', isWanted: false, wantsQuietLine: false, alerts: ['at risk', 'arrived'] },
      ...{ standInId, standInFrom: '2026-12-24', standInUntil: '2027-01-01' },
    }
    await choose(wish)
    expect(await chosen()).toEqual({ ...wish, alertsAreStopped: false })
    const { rows } = await database.owner.query(
      'select stand_in_from::text as first, stand_in_until::text as last from digest_preference where person_id = $1',
      [id],
    )
    expect(rows).toEqual([{ first: '2026-12-24', last: '2027-01-01' }])
    await choose({})
    expect(await chosen()).toEqual(DEFAULT_PREFERENCE)
    expect((await kept()).lines).toEqual(['chose about the weekly mail', 'chose about the weekly mail'])
  })

  test('keeps the field names of older entries in the audit log', async () => {
    await choose({ alerts: ['lapsed'] })
    const { rows } = await database.owner.query(
      'select before, after from audit_entry where subject = $1 and before is not null',
      [id],
    )
    const { alerts: _, ...others } = USUAL
    expect(rows).toEqual([
      {
        before: { ...others, atOnce: ['hold'], atOnceIsStopped: false },
        after: { ...others, atOnce: ['lapsed'] },
      },
    ])
  })

  test('an alert counts from its first choice, for as long as it stays chosen', async () => {
    await choose({ alerts: ['at risk', 'lapsed'] })
    await choose({ alerts: ['lapsed', 'arrived'] }, NOW + 1)
    expect((await kept()).since).toEqual({ lapsed: NOW, arrived: NOW + 1 })
  })

  test('invalidates earlier links when they turn the mail on again, but not otherwise', async () => {
    await choose({ alerts: ['arrived'] })
    expect(await kept()).toMatchObject({ weekly: 0, alerts: 0 })
    expect([await stop('weekly', 0), await stop('alerts', 0)]).toEqual(['stopped', 'stopped'])
    await choose({ isWanted: false, alerts: [] })
    expect(await kept()).toMatchObject({ weekly: 0, alerts: 0 })
    expect((await chosen()).alertsAreStopped).toBe(true)
    await choose({ alerts: ['arrived'] })
    expect(await kept()).toMatchObject({ weekly: 1, alerts: 1 })
    expect((await chosen()).alertsAreStopped).toBe(false)
    expect([await stop('weekly', 0), await stop('alerts', 0)]).toEqual(['no such link', 'no such link'])
  })

  test('raises the serial once on concurrent requests', async () => {
    await choose({ isWanted: false })
    const row = 'select from digest_preference where person_id = $1'
    const again = () => choose({ isWanted: true })
    await runBlocked(database.owner, row, [id], [again, again, again])
    expect(await kept()).toMatchObject({ weekly: 1 })
  })
})

describe('a link to stop mails', () => {
  test.each(['weekly', 'alerts'] as const)(
    'of the %s ones stops these, once, with one line, however often it is pressed at once',
    async (list) => {
      const outcomes = await Promise.all(Array.from({ length: 8 }, () => stop(list, 0)))
      expect(outcomes.sort()).toEqual(['stopped', ...Array.from({ length: 7 }, () => 'was stopped')])
      expect(await chosen()).toMatchObject({
        isWanted: list !== 'weekly',
        alertsAreStopped: list === 'alerts',
      })
      expect((await kept()).lines).toHaveLength(1)
    },
  )

  test('is invalid for an unknown person or another serial', async () => {
    expect(await stop('weekly', 0, 'nobody')).toBe('no such link')
    expect(await stop('weekly', 1)).toBe('no such link')
    expect(await chosen()).toEqual(DEFAULT_PREFERENCE)
  })
})
