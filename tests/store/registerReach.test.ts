import { afterEach, beforeAll, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister, KIT, smallRegister, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

const rowsNow = async () =>
  (await database.owner.query<{ row: string }>('select s::text as row from sample s order by code')).rows

/** A change has to derive everything it affects: a rebuild finds no difference. */
afterEach(async () => {
  const derived = await rowsNow()
  await rebuild(database.app, NOW)
  expect(derived).toEqual(await rowsNow())
})

const protocol = (code: string, amount: number) => ({
  code,
  name: code,
  limits: [
    { name: 'cut to chamber', from: 'collected', to: 'loaded', amount, unit: 'days', counting: 'elapsed' },
  ],
})

const under = (code: string) =>
  (smallRegister().products as Record<string, unknown>[]).map((one) => ({ ...one, protocol: code }))
const withDepot = (zone: string) => ({
  plants: [...(smallRegister().plants as object[]), { code: 'DEPOT', name: 'Depot', zone }],
})

const apply = (changes: Record<string, unknown>) => applyRegister(database.app, checkedRegister(changes), NOW)
const accept = async (event: Record<string, unknown>) =>
  (await acceptEvents(database.app, wire({ source: 'desk', ...event }), UNRESTRICTED, NOW)).map(
    ({ acceptance }) => acceptance,
  )

test('a change of a protocol affects the samples of a product that comes under it later', async () => {
  const now = [protocol('TEN', 10), protocol('FIVE', 5)]
  await apply({ protocols: now })
  await apply({ protocols: now, products: under('FIVE'), holdsFrom: '2026-12-01T00:00:00Z' })
  const earlier = [protocol('TEN', 10), protocol('FIVE', 4)]
  await apply({ protocols: earlier, products: under('FIVE'), holdsFrom: '2026-11-01T00:00:00Z' })
})

test('a removed place has no zone, and a new one when it is added again', async () => {
  const local = { id: 'local', sample: KIT, kind: 'collected', at: '2026-10-19T10:00:00', place: 'DEPOT' }
  await apply(withDepot('Asia/Kolkata'))
  await apply({})
  expect(await accept(local)).toEqual([null])
  await apply(withDepot('America/Los_Angeles'))
  expect(await accept(local)).toEqual(['accepted'])
})

test('a code that named a plant and now names a laboratory has the laboratory’s zone', async () => {
  await apply(withDepot('America/Los_Angeles'))
  const laboratories = smallRegister().laboratories as Record<string, unknown>[]
  const moved = { ...laboratories[0], code: 'YARD', zone: 'Asia/Kolkata' }
  await apply({
    plants: [...withDepot('America/Los_Angeles').plants, { ...moved, name: 'Yard', zone: 'Europe/Lisbon' }],
  })
  await apply({ ...withDepot('America/Los_Angeles'), laboratories: [...laboratories, moved] })
  await accept({ id: 'yard', sample: KIT, kind: 'sealed', at: '2026-10-19T10:00:00', place: 'YARD' })
  const { rows } = await database.owner.query('select stage_at from sample where code = $1', [KIT])
  expect(rows).toEqual([{ stage_at: new Date('2026-10-19T04:30:00Z') }])
})

test('a register may hold from a leap second', async () => {
  const { change } = await apply({
    ...withDepot('America/Los_Angeles'),
    laboratories: [
      ...(smallRegister().laboratories as object[]),
      { ...(smallRegister().laboratories as object[])[0], code: 'YARD', zone: 'Asia/Kolkata' },
    ],
    protocols: [protocol('TEN', 11)],
    holdsFrom: '2026-12-31T23:59:60Z',
  })
  expect(change).not.toBeNull()
})
