import { beforeAll, describe, expect, test } from 'vitest'
import { makeAuth } from '@/lib/access/session/auth'
import { endSessions, listSessions, type SessionSelection } from '@/lib/store/people/sessions'
import { getSignInSecret } from '@/lib/store/site'
import { makeTestDatabase, runBlocked, type TestDatabase } from '@/tests/setup/database'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

const NOW = Date.UTC(2026, 10, 10, 12)
const ACTOR = { who: 'person 1', name: 'Someone', address: '192.0.2.7' }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  // Stands for anything that prevents a line from being written: a full disk, a lost connection.
  await database.owner.query(`
    create function refuse_line() returns trigger language plpgsql as $$
      begin raise exception 'the record takes no line'; end $$;
    create trigger refused before insert on audit_entry for each row
      when (new.who_name = 'Unrecordable') execute function refuse_line()`)
})

const readSessions = (personId: string) => listSessions(database.authPool, personId, Date.now())

const signInAgain = ({ personId }: SignedIn) =>
  makeAuth({
    authPool: database.authPool,
    secret: getSignInSecret(),
    url: 'http://localhost',
  }).api.signInPerson({
    body: { personId, way: 'code' },
    headers: new Headers({ 'user-agent': 'another browser' }),
  })

async function linesOn(personId: string) {
  const { rows } = await database.owner.query<{ what: string; who: string }>(
    `select what, who, address, before, after from audit_entry
     where subject = $1 and what in ('signed in', 'signed out', 'ended a session') order by seq`,
    [personId],
  )
  return rows
}

async function readTransactions(personId: string) {
  const { rows } = await database.owner.query(
    `select (select array_agg(xmin::text) from session where person_id = $1) =
       (select array_agg(xmin::text) from audit_entry where subject = $1 and what = 'signed in') as "areOne"`,
    [personId],
  )
  return rows[0]
}

describe('signing in', () => {
  test('is one transaction with its audit line', async () => {
    const { personId } = await signInAs(database, ADMINISTRATOR)
    expect(await readTransactions(personId)).toEqual({ areOne: true })
    const [session] = await readSessions(personId)
    expect(await linesOn(personId)).toMatchObject([
      { what: 'signed in', who: `person ${personId}`, after: { by: 'link', session: session?.id } },
    ])
  })

  test('makes no session if the audit line cannot be written', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    await database.owner.query("update person set name = 'Unrecordable' where id = $1", [someone.personId])
    await expect(signInAgain(someone)).rejects.toThrow()
    expect(await readSessions(someone.personId)).toHaveLength(1)
    expect(await linesOn(someone.personId)).toHaveLength(1)
  })

  test('waits for a concurrent end of access, then makes no session', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    const leaving = await database.owner.connect()
    await leaving.query('begin')
    await leaving.query('update person set left_at = now() where id = $1', [someone.personId])
    const again = signInAgain(someone)
    again.catch(() => {})
    await new Promise((resolve) => setTimeout(resolve, 200))
    await leaving.query('commit')
    leaving.release()
    await expect(again).rejects.toMatchObject({ status: 'FORBIDDEN' })
    expect(await readSessions(someone.personId)).toHaveLength(1)
  })
})

describe('the end of a session', () => {
  test('is recorded for each session, with who ended it', async () => {
    const someone = await signInAs(database, ADMINISTRATOR)
    const first = (await readSessions(someone.personId))[0]?.id ?? ''
    await signInAgain(someone)
    expect(await endSessions(database.authPool, someone.personId, { allBut: first }, ACTOR, NOW)).toBe(1)
    expect(await endSessions(database.authPool, someone.personId, 'all', ACTOR, NOW, 'signed out')).toBe(1)
    expect((await linesOn(someone.personId)).slice(2)).toMatchObject([
      {
        what: 'ended a session',
        who: 'person 1',
        address: '192.0.2.7',
        before: { browser: 'another browser' },
      },
      { what: 'signed out', who: 'person 1', before: { session: first, browser: 'the tests' } },
    ])
  })

  test('happens once, with one audit line, on concurrent requests', async () => {
    const { personId } = await signInAs(database, ADMINISTRATOR)
    const [session] = await readSessions(personId)
    const ways: SessionSelection[] = ['all', { id: session?.id ?? '' }, { allBut: '' }]
    const ends = ways.map((which) => () => endSessions(database.authPool, personId, which, ACTOR, NOW))
    const ended = await runBlocked(
      database.owner,
      'select from session where person_id = $1',
      [personId],
      ends,
    )
    expect(ended.sort()).toEqual([0, 0, 1])
    expect(await linesOn(personId)).toHaveLength(2)
  })

  test('does nothing for another person’s session', async () => {
    const [mine, theirs] = [await signInAs(database, ADMINISTRATOR), await signInAs(database, ADMINISTRATOR)]
    const id = (await readSessions(theirs.personId))[0]?.id ?? ''
    expect(await endSessions(database.authPool, mine.personId, { id }, ACTOR, NOW)).toBe(0)
    expect(await readSessions(theirs.personId)).toHaveLength(1)
    expect(await linesOn(mine.personId)).toHaveLength(1)
  })

  test('does not happen if the audit line cannot be written', async () => {
    const { personId } = await signInAs(database, ADMINISTRATOR)
    const nameless = { ...ACTOR, name: 'Unrecordable' }
    await expect(endSessions(database.authPool, personId, 'all', nameless, NOW)).rejects.toThrow(
      'takes no line',
    )
    expect(await readSessions(personId)).toHaveLength(1)
  })
})
