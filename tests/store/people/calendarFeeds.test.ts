import { createHash, randomBytes } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import type { FeedEntry } from '@/lib/judgement/feedEntries'
import type { Role } from '@/lib/policy/personRoles'
import {
  findFeedByHash,
  insertFeed,
  listFeeds,
  revokeFeed,
  versionEntries,
} from '@/lib/store/people/calendarFeeds'
import { ensurePerson } from '@/lib/store/people/people'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const NOW = Date.parse('2026-11-28T12:00:00Z')
const ACTOR = { who: 'person 7', name: 'Someone', address: '192.0.2.7' }
const contact = (place: string): Role => ({ role: 'plant contact', place })
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

const person = (email: string, roles: readonly Role[]) =>
  ensurePerson(database.authPool, { email, name: email, roles }, ACTOR, NOW)
const hash = (secret: string) => createHash('sha256').update(secret).digest()

async function feed(plant: string, ...roles: Role[]) {
  const secret = randomBytes(32).toString('base64url')
  const id = randomBytes(9).toString('base64url')
  const personId = await person(`${id}@test.invalid`, roles)
  await insertFeed(database.authPool, { id, plant, hash: hash(secret), personId }, ACTOR, NOW)
  return { id, secret, personId }
}
const found = (secret: string) => findFeedByHash(database.authPool, hash(secret), NOW)

describe('the address of a calendar', () => {
  test('is found by its secret, of which only the hash is stored and only the id recorded', async () => {
    const { id, secret, personId } = await feed('PL1', contact('PL1'))
    expect(await found(secret)).toEqual({ id, plant: 'PL1', personId })
    expect(await found(secret.toLowerCase())).toBeNull()
    expect(await found('')).toBeNull()
    const { rows } = await database.owner.query(
      `select f::text as feed, (select json_agg(a)::text from audit_entry a) as record from calendar_feed f where id = $1`,
      [id],
    )
    expect(rows[0].record).toContain(id)
    expect(JSON.stringify(rows)).not.toContain(secret.slice(0, 12))
  })

  test('stops working once revoked by someone of its plant, and both are recorded', async () => {
    const { id, secret } = await feed('PL1', contact('PL1'))
    expect(await revokeFeed(database.authPool, id, ['PL2'], ACTOR, NOW)).toBe(false)
    expect(await revokeFeed(database.authPool, 'none', ['PL2'], ACTOR, NOW)).toBe(false)
    expect(await found(secret)).not.toBeNull()
    expect(await revokeFeed(database.authPool, id, ['PL1'], ACTOR, NOW)).toBe(true)
    expect(await revokeFeed(database.authPool, id, ['PL1'], ACTOR, NOW)).toBe(false)
    expect(await found(secret)).toBeNull()
    const { rows } = await database.owner.query(
      `select what, who, subject from audit_entry where before ->> 'id' = $1 or after ->> 'id' = $1 order by seq`,
      [id],
    )
    expect(rows).toEqual([
      { what: 'made a calendar’s address', who: 'person 7', subject: 'PL1' },
      { what: 'revoked a calendar’s address', who: 'person 7', subject: 'PL1' },
    ])
  })

  test.each<[string, Role[], boolean]>([
    ['is a contact of its plant', [contact('PL2'), contact('PL1')], true],
    ['is an administrator', [{ role: 'administrator', place: '' }], true],
    ['is a contact of another plant', [contact('PL2')], false],
    ['is at a desk of that code', [{ role: 'laboratory desk', place: 'PL1' }], false],
    ['is only a reader', [{ role: 'reader', place: '' }], false],
  ])('works only while whoever made it may see the plant: who %s', async (_, roles, isWorking) => {
    const { id, secret } = await feed('PL1', ...roles)
    expect((await found(secret)) !== null).toBe(isWorking)
    const listed = (await listFeeds(database.authPool, ['PL1'])).find((one) => one.id === id)
    expect(listed?.isWorking).toBe(isWorking)
  })

  test('stops working when its owner leaves', async () => {
    const { secret, personId } = await feed('PL1', contact('PL1'))
    await database.owner.query('update person set left_at = now() where id = $1', [personId])
    expect(await found(secret)).toBeNull()
  })

  test('is listed for its plant until revoked, with the time of its last use', async () => {
    const { id, secret } = await feed('PL3', contact('PL3'))
    const listed = async (plants: string[] | null) =>
      (await listFeeds(database.authPool, plants)).filter((one) => one.id === id)
    expect(await listed(['PL1'])).toEqual([])
    expect(await listed([])).toEqual([])
    expect(await listed(null)).toMatchObject([{ plant: 'PL3', madeAt: NOW, lastReadAt: null }])
    await found(secret)
    expect(await listed(['PL3'])).toMatchObject([{ lastReadAt: NOW }])
    await revokeFeed(database.authPool, id, null, ACTOR, NOW)
    expect(await listed(null)).toEqual([])
  })
})

describe('an entry of a calendar', () => {
  const entry = (key: string, summary = 'Cut it', day = 20_000): FeedEntry => ({
    key,
    day,
    summary,
    description: 'At the latest then.',
    path: '/due',
  })
  const HERE = { plant: 'PL1', url: 'https://desk.example' }
  const stamped = async (entries: FeedEntry[], now: number, of = HERE) =>
    (await versionEntries(database.authPool, of, entries, now)).map(({ uid, sequence, modifiedAt }) => ({
      uid,
      sequence,
      modifiedAt,
    }))

  test('keeps its version while unchanged, and gets the next one when it changes', async () => {
    const first = await stamped([entry('a'), entry('b')], NOW)
    expect(first.map(({ sequence, modifiedAt }) => [sequence, modifiedAt])).toEqual([
      [0, NOW],
      [0, NOW],
    ])
    expect(first[0]?.uid).not.toBe(first[1]?.uid)
    expect(await stamped([entry('a'), entry('b')], NOW + 1000)).toEqual(first)
    const moved = await stamped([entry('a', 'Cut it', 20_001), entry('b')], NOW + 2000)
    expect(moved).toEqual([{ ...first[0], sequence: 1, modifiedAt: NOW + 2000 }, first[1]])
    // An entry that was absent for a while continues its versions.
    await stamped([entry('b')], NOW + 3000)
    expect(await stamped([entry('a')], NOW + 4000)).toEqual([
      { ...first[0], sequence: 2, modifiedAt: NOW + 4000 },
    ])
  })

  test('differs between plants and between sites', async () => {
    const uids = await Promise.all(
      [HERE, { ...HERE, plant: 'PL2' }, { ...HERE, url: 'https://other.example' }].map(
        async (of) => (await stamped([entry('c')], NOW, of))[0]?.uid,
      ),
    )
    expect(new Set(uids).size).toBe(3)
  })

  test('counts a change once on concurrent requests', async () => {
    const entries = Array.from({ length: 30 }, (_, index) => entry(`many ${index}`))
    await stamped(entries, NOW)
    const changed = entries.map((one) => ({ ...one, summary: 'Load it' }))
    const all = await Promise.all(
      Array.from({ length: 8 }, (_, index) =>
        stamped(index % 2 === 0 ? changed : [...changed].reverse(), NOW + 1),
      ),
    )
    for (const versions of all)
      expect(new Set(versions.map(({ sequence }) => sequence))).toEqual(new Set([1]))
  })
})
