import { expect, test } from 'vitest'
import { recordSeen } from '@/lib/store/people/sessions'
import { makeTestDatabase } from '@/tests/setup/database'
import { ADMINISTRATOR, signInAs } from '@/tests/setup/signIn'

const HOUR = 3_600_000

test('a session is noted as seen, to the minute, and one that someone is ending keeps no reader waiting', async () => {
  const database = await makeTestDatabase()
  const { personId } = await signInAs(database, ADMINISTRATOR)
  const find = async () =>
    (await database.owner.query('select id, updated_at from session where person_id = $1', [personId]))
      .rows[0]
  const { id, updated_at } = await find()
  const later = updated_at.getTime() + HOUR
  const ending = await database.owner.connect()
  await ending.query('begin')
  await ending.query('select from session where id = $1 for update', [id])
  await recordSeen(database.authPool, id, later)
  expect((await find()).updated_at).toEqual(updated_at)
  await ending.query('rollback')
  ending.release()
  await recordSeen(database.authPool, id, later)
  expect((await find()).updated_at.getTime()).toBe(later)
  await recordSeen(database.authPool, id, later + 1_000)
  expect((await find()).updated_at.getTime()).toBe(later)
})
