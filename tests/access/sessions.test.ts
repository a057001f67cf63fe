import { beforeAll, describe, expect, test } from 'vitest'
import { makeAuth } from '@/lib/access/session/auth'
import { getSignInSecret } from '@/lib/store/site'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { ADMINISTRATOR, signInAs } from '@/tests/setup/signIn'

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

const authAt = (url: string) => makeAuth({ authPool: database.authPool, secret: getSignInSecret(), url })

async function personBy(cookie: string) {
  const found = await authAt('http://localhost').api.getSession({ headers: new Headers({ cookie }) })
  return found?.user.id ?? null
}

describe('a session', () => {
  test('identifies its person until it is ended', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    expect(await personBy(someone.cookie)).toBe(someone.personId)
    await database.authPool.query('delete from session where person_id = $1', [someone.personId])
    expect(await personBy(someone.cookie)).toBe(null)
  })

  test('is invalid after its expiry', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    await database.authPool.query(
      "update session set expires_at = now() - interval '1 second' where person_id = $1",
      [someone.personId],
    )
    expect(await personBy(someone.cookie)).toBe(null)
  })

  test('is invalid with another signature', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    const [name, value = ''] = someone.cookie.split('=')
    const [token = '', signature = ''] = decodeURIComponent(value).split('.')
    const forged = `${signature.startsWith('A') ? 'B' : 'A'}${signature.slice(1)}`
    expect(await personBy(`${name}=${encodeURIComponent(`${token}.${forged}`)}`)).toBe(null)
  })

  test('is not made for someone who has left', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    await database.authPool.query('update person set left_at = now() where id = $1', [someone.personId])
    const again = authAt('http://localhost').api.signInPerson({
      body: { personId: someone.personId, way: 'link' },
      headers: new Headers(),
    })
    await expect(again).rejects.toMatchObject({ status: 'FORBIDDEN' })
  })

  test.each([
    ['http://localhost:3000', false],
    ['https://holdfast.example', true],
  ])(
    'at %s has a cookie that no script reads, that no other site sends, and that is secure: %s',
    async (url, isSecure) => {
      const { personId } = await signInAs(database, ADMINISTRATOR)
      const { headers } = await authAt(url).api.signInPerson({
        body: { personId, way: 'link' },
        headers: new Headers(),
        returnHeaders: true,
      })
      const [cookie = ''] = headers.getSetCookie()
      expect(cookie).toMatch(/HttpOnly/i)
      expect(cookie).toMatch(/SameSite=Lax/i)
      expect(/; *Secure/i.test(cookie)).toBe(isSecure)
    },
  )

  test('is recorded with person and method', async () => {
    const { personId } = await signInAs(database, ADMINISTRATOR)
    const { rows } = await database.owner.query(
      'select what, after, outcome from audit_entry where who = $1',
      [`person ${personId}`],
    )
    expect(rows).toMatchObject([{ what: 'signed in', after: { by: 'link' }, outcome: 'done' }])
  })

  test('cannot be read by the role that reads samples', async () => {
    for (const table of ['session', 'passkey', 'verification', 'sign_in_request'])
      await expect(database.app.query(`select 1 from ${table}`)).rejects.toThrow('permission denied')
  })
})
