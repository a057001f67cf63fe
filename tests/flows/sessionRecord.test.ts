import { beforeAll, describe, expect } from 'vitest'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

let database: TestDatabase
let server: TestServer
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR)
})

const post = (who: SignedIn, path: string, fields: Record<string, string> = {}) =>
  fetch(server.address + path, {
    method: 'POST',
    headers: who.headers,
    body: new URLSearchParams(fields),
    redirect: 'manual',
  })

const isIn = async (who: SignedIn) =>
  (await fetch(`${server.address}/api/board`, { headers: who.headers })).status === 200

async function lines(personId: string) {
  const { rows } = await database.owner.query<{ what: string; who: string; address: string }>(
    'select what, who, address from audit_entry where subject = $1 order by seq',
    [personId],
  )
  return rows
}

describe('on record is', () => {
  test('a sign-out, once', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    for (const _ of [1, 2]) expect((await post(someone, '/api/sign-out')).status).toBe(303)
    expect(await isIn(someone)).toBe(false)
    const said = (await lines(someone.personId)).filter(({ what }) => what === 'signed out')
    expect(said).toEqual([{ what: 'signed out', who: `person ${someone.personId}`, address: '127.0.0.1' }])
  })

  test('the end of one’s own other sessions', async () => {
    const here = await signInAs(database, ADMINISTRATOR, 'two@test.invalid')
    const other = await signInAs(database, ADMINISTRATOR, 'two@test.invalid')
    await post(here, '/api/me/sessions')
    expect([await isIn(here), await isIn(other)]).toEqual([true, false])
    expect((await lines(here.personId)).at(-1)).toMatchObject({
      what: 'ended a session',
      who: `person ${here.personId}`,
    })
  })

  test('a session that an administrator ends on the person’s page', async ({ page }) => {
    const someone = await signInAs(database, { plants: ['MILL'] })
    await administrator.addTo(page.context(), server.address)
    await page.goto(`${server.address}/setup/people/${someone.personId}`)
    await page.getByRole('button', { name: 'End', exact: true }).click()
    await expect.poll(() => page.getByRole('button', { name: 'End', exact: true }).count()).toBe(0)
    expect(await isIn(someone)).toBe(false)
    expect((await lines(someone.personId)).at(-1)).toMatchObject({
      what: 'ended a session',
      who: `person ${administrator.personId}`,
    })
  })

  test('each session of one who is let go; let in again, they have to sign in again', async ({ page }) => {
    const someone = await signInAs(database, ADMINISTRATOR)
    await administrator.addTo(page.context(), server.address)
    for (const isLeaving of [true, false]) {
      await page.goto(`${server.address}/setup/people/${someone.personId}`)
      await page.getByLabel('Has left: can no longer sign in').setChecked(isLeaving)
      await page.getByRole('button', { name: 'Save', exact: true }).click()
      await page.waitForURL('**/setup/people?entered=*')
    }
    expect(await isIn(someone)).toBe(false)
    expect((await lines(someone.personId)).map(({ what }) => what).slice(-3)).toEqual([
      'let a person go',
      'ended a session',
      'let a person in again',
    ])
  })
})

test('a sign-out that cannot be recorded is answered as a failure, and the session stays', async () => {
  const someone = await signInAs(database, ADMINISTRATOR)
  await database.owner.query(`
    create function refuse_line() returns trigger language plpgsql as $$
      begin raise exception 'the record takes no line'; end $$;
    create trigger refused before insert on audit_entry for each row
      when (new.what = 'signed out') execute function refuse_line()`)
  const answer = await post(someone, '/api/sign-out')
  expect([answer.status, answer.headers.get('set-cookie')]).toEqual([500, null])
  expect(await isIn(someone)).toBe(true)
  await database.owner.query('drop trigger refused on audit_entry')
})
