import { beforeAll, expect, test } from 'vitest'
import { ensurePerson, readRoles, setOwnZone } from '@/lib/store/people/people'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const NOW = Date.UTC(2026, 10, 10, 12)
const ACTOR = { who: 'person 1', name: 'Someone', address: '192.0.2.7' }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

async function linesOn(id: string) {
  const { rows } = await database.owner.query(
    'select what, before, after from audit_entry where subject = $1 order by seq',
    [id],
  )
  return rows
}

test('a person is added once by concurrent calls, with the roles of each', async () => {
  const plants = Array.from({ length: 8 }, (_, n) => `PL${n}`)
  const ensure = (place: string) => {
    const role = { role: 'plant contact' as const, place }
    const person = { email: ' One@Test.invalid', name: 'One', zone: 'Asia/Kolkata', roles: [role] }
    return ensurePerson(database.authPool, person, ACTOR, NOW)
  }
  const ids = new Set(await Promise.all([...plants, ...plants].map(ensure)))
  expect(ids.size).toBe(1)
  const [id = ''] = ids
  expect([...(await readRoles(database.authPool, id)).plants].sort()).toEqual(plants)
  const lines = (await linesOn(id)).map(({ what }) => what)
  expect(lines).toEqual(['entered a person', ...plants.slice(1).map(() => 'changed a person')])
})

test('someone who had left is readmitted, recorded once', async () => {
  const person = { email: 'two@test.invalid', name: 'Two', roles: [] }
  const ensure = () => ensurePerson(database.authPool, person, ACTOR, NOW)
  const id = await ensure()
  await database.authPool.query('update person set left_at = now() where id = $1', [id])
  await ensure()
  await ensure()
  const { rows } = await database.authPool.query('select left_at from person where id = $1', [id])
  expect(rows).toEqual([{ left_at: null }])
  expect(await linesOn(id)).toMatchObject([
    { what: 'entered a person', before: null, after: { email: person.email, name: 'Two', added: [] } },
    { what: 'changed a person', after: { email: person.email, added: [], isBack: true } },
  ])
})

test('a zone is recorded with the previous one, even on concurrent changes', async () => {
  const person = { email: 'three@test.invalid', name: 'Three', roles: [] }
  const id = await ensurePerson(database.authPool, person, ACTOR, NOW)
  const zones = ['Asia/Kolkata', 'Europe/Lisbon', 'Asia/Tokyo', 'Europe/Rome', 'UTC', 'Europe/Lisbon']
  await Promise.all(zones.map((zone) => setOwnZone(database.authPool, id, zone, ACTOR, NOW)))
  const [, ...lines] = await linesOn(id)
  const befores = ['UTC', ...lines.map(({ after }) => after.zone)].slice(0, -1)
  expect(lines.map(({ before }) => before.zone)).toEqual(befores)
  const { rows } = await database.authPool.query('select zone from person where id = $1', [id])
  expect(rows[0].zone).toBe(lines.at(-1)?.after.zone)
})
