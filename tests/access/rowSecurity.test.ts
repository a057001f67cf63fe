import type pg from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { type Attempts, attemptAll, type PrincipalName, SETTINGS } from './sqlAttempts'
import { fillTwoMakers } from './twoMakers'

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  await fillTwoMakers(database)
})

/**
 * What each principal may do with each table, in the order select, insert, update, delete. Upper case: with every row;
 * lower case: with its own rows; 0: it has no rows; x: refused per row; -: the role lacks the right.
 */
type Expected = Record<PrincipalName, string>
const everywhere = (letters: string): Expected => ({
  nobody: letters,
  all: letters,
  plant: letters,
  laboratory: letters,
  empty: letters,
})
const NEVER = everywhere('----')
const LEDGER_RECORD: Expected = { ...everywhere('0I--'), all: 'SI--' }
const DERIVED_UNSEEN: Expected = { ...everywhere('0x00'), all: 'SIUD' }

const APP: Record<string, Expected> = {
  _prisma_migrations: NEVER,
  account: NEVER,
  api_key: NEVER,
  at_once_choice: NEVER,
  at_once_look: NEVER,
  audit_entry: LEDGER_RECORD,
  calendar_entry: NEVER,
  calendar_feed: NEVER,
  digest_alarm: NEVER,
  digest_handover: NEVER,
  digest_mail: NEVER,
  digest_preference: NEVER,
  digest_time: NEVER,
  event: { nobody: '0x--', all: 'SI--', plant: 'sx--', laboratory: 'sx--', empty: '0x--' },
  forecast: { nobody: '0x00', all: 'SIUD', plant: 'sx00', laboratory: 'sx00', empty: '0x00' },
  app_metadata: { nobody: '0x00', all: 'SIUD', plant: 'Sx00', laboratory: 'Sx00', empty: 'Sx00' },
  guess_count: NEVER,
  office: { ...everywhere('Sx0-'), all: 'SIU-' },
  passkey: NEVER,
  person: NEVER,
  person_role: NEVER,
  register_entry: { nobody: '0x--', all: 'SI--', plant: 'sx--', laboratory: 'sx--', empty: 'sx--' },
  session: NEVER,
  sign_in_request: NEVER,
  sample: { nobody: '0x00', all: 'SIUD', plant: 'sx00', laboratory: 'sx00', empty: '0x00' },
  setup_draft: { ...everywhere('0x-0'), all: 'SI-D' },
  // The tried row belongs to the plant.
  snooze: { nobody: '0x--', all: 'SI--', plant: 'sI--', laboratory: 'sx--', empty: '0x--' },
  unplaced: DERIVED_UNSEEN,
  used_signature: NEVER,
  verification: NEVER,
}

/** The authentication role is the same for every principal: it finds out who that is. */
const DOOR: Record<string, string> = {
  _prisma_migrations: 'S---',
  account: 'S---',
  api_key: 'SIUD',
  at_once_choice: 'SIUD',
  at_once_look: 'SIU-',
  audit_entry: '-I--',
  calendar_entry: 'SIU-',
  calendar_feed: 'SIU-',
  digest_alarm: 'SIUD',
  digest_handover: 'SIUD',
  // Its key never changes; tests/digest/redactOldMails.test.ts shows what may.
  digest_mail: 'SI--',
  digest_preference: 'SIUD',
  digest_time: 'SIU-',
  event: '----',
  forecast: '----',
  guess_count: 'SIUD',
  app_metadata: '----',
  office: '----',
  passkey: 'SIUD',
  person: 'SIUD',
  person_role: 'SIUD',
  register_entry: '----',
  session: 'SIUD',
  sign_in_request: 'SIUD',
  sample: '----',
  setup_draft: '----',
  snooze: '----',
  unplaced: '----',
  used_signature: 'SIUD',
  verification: 'SIUD',
}

/** Which rows belong to a principal that sees only some. */
const OWN: Record<string, Partial<Record<PrincipalName, string>>> = {
  sample: { plant: `plant = 'PL1'`, laboratory: `laboratory = 'LAB2'` },
  forecast: { plant: `plant = 'PL1'`, laboratory: `laboratory = 'LAB2'` },
  snooze: { plant: `plant = 'PL1'`, laboratory: `laboratory = 'LAB2'` },
  event: {
    plant: `sample in (select code from sample where plant = 'PL1')`,
    laboratory: `sample in (select code from sample where laboratory = 'LAB2')`,
  },
  register_entry: {
    plant: `kind in ('laboratory', 'service', 'protocol') or (kind = 'plant' and code = 'PL1') or content ->> 'plant' = 'PL1'`,
    laboratory: `kind in ('laboratory', 'service', 'protocol')
      or (kind = 'kit' and content ->> 'laboratory' = 'LAB2')
      or (kind <> 'kit' and coalesce(content ->> 'plant', code) in (select plant from sample where laboratory = 'LAB2'))`,
    empty: `kind in ('laboratory', 'service', 'protocol')`,
  },
}

const PRINCIPALS = Object.keys(SETTINGS) as PrincipalName[]
const tables = async (): Promise<string[]> => {
  const { rows } = await database.owner.query<{ name: string }>(
    `select relname as name from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p', 'v', 'm', 'f') order by 1`,
  )
  return rows.map(({ name }) => name)
}

test('both lists of rights name every table of the database', async () => {
  expect(Object.keys(APP).sort()).toEqual(await tables())
  expect(Object.keys(DOOR).sort()).toEqual(await tables())
})

describe.each(Object.keys(APP))('%s', (table) => {
  test.each(PRINCIPALS)('as the program, for %s', async (principal) => {
    const found = await attemptAll(database, database.app, table, principal)
    expect(lettersOf(found)).toBe((APP[table] as Expected)[principal])
    if (!lettersOf(found).startsWith('s')) return
    const own = OWN[table]?.[principal]
    if (!own) throw new Error(`Say which rows of ${table} are those of ${principal}.`)
    const { rows } = await database.owner.query<{ row: string }>({
      text: `select t::text as row from "${table}" t where ${own}`,
    })
    expect(found.seen?.sort()).toEqual(rows.map(({ row }) => row).sort())
  })

  test.each(PRINCIPALS)('as the role of sign-in, for %s', async (principal) => {
    expect(lettersOf(await attemptAll(database, database.authPool, table, principal))).toBe(DOOR[table])
  })
})

function lettersOf({ total, seen, insert, update, remove }: Attempts): string {
  if (total === 0) throw new Error('Without a row in the table nothing is tried: put one there.')
  const reach = (rows: number | null, every: string) =>
    rows === null ? '-' : rows === 0 ? '0' : rows === total ? every : every.toLowerCase()
  const entered = { entered: 'I', refused: 'x', 'no grant': '-' }[insert]
  return `${reach(seen === null ? null : seen.length, 'S')}${entered}${reach(update, 'U')}${reach(remove, 'D')}`
}

describe('the basis of row security', () => {
  const ask = async (sql: string, pool: pg.Pool = database.owner) => (await pool.query(sql)).rows

  test('it is enabled and forced on every table that the program can access', async () => {
    const open = await ask(`select relname from pg_class
      where relnamespace = 'public'::regnamespace and relkind in ('r', 'p', 'v', 'm', 'f')
        and (has_table_privilege('holdfast_app', oid, 'select, insert, update, delete, truncate, references, trigger')
          or has_any_column_privilege('holdfast_app', oid, 'select, insert, update, references'))
        and not (relrowsecurity and relforcerowsecurity)`)
    expect(open).toEqual([])
  })

  test('the roles own nothing, cannot log in, bypass nothing, and cannot assume each other', async () => {
    expect(
      await ask(`select rolname, rolsuper, rolbypassrls, rolcanlogin, rolcreaterole, rolcreatedb,
          exists (select from pg_class where relowner = pg_roles.oid) as owns,
          exists (select from pg_auth_members where member = pg_roles.oid) as "isMember"
        from pg_roles where rolname in ('holdfast_app', 'holdfast_door') order by 1`),
    ).toEqual(
      ['holdfast_app', 'holdfast_door'].map((rolname) => ({
        rolname,
        rolsuper: false,
        rolbypassrls: false,
        rolcanlogin: false,
        rolcreaterole: false,
        rolcreatedb: false,
        owns: false,
        isMember: false,
      })),
    )
    for (const role of ['holdfast_app', 'holdfast_door'])
      for (const schema of ['public', 'queue'])
        expect(await ask(`select has_schema_privilege('${role}', '${schema}', 'create') as may`)).toEqual([
          { may: false },
        ])
  })

  test('the program cannot access the mail queue, and the authentication role has only the rights it needs', async () => {
    await expect(ask('select from queue.job', database.app)).rejects.toThrow(
      /permission denied for schema queue/,
    )
    const rights = ['select', 'insert', 'update', 'delete', 'truncate', 'trigger']
    const may = rights.map((right) => `has_table_privilege('holdfast_door', oid, '${right}') as "${right}"`)
    const found = await ask(`select relname as name, ${may.join(', ')} from pg_class
      where relnamespace = 'queue'::regnamespace and relkind in ('r', 'p') and not relispartition order by 1`)
    const lettersOf = (row: Record<string, unknown>) =>
      rights.map((right) => (row[right] ? right.charAt(0) : '-')).join('')
    expect(Object.fromEntries(found.map((row) => [row.name, lettersOf(row)]))).toEqual({
      archive: 'siud--',
      job: 'siud--',
      queue: 'si----',
      schedule: 's-----',
      subscription: '------',
      version: 's-u---',
    })
  })

  test('no function of ours runs with the rights of its owner', async () => {
    expect(
      await ask(
        `select proname from pg_proc where pronamespace in ('public'::regnamespace, 'queue'::regnamespace) and prosecdef`,
      ),
    ).toEqual([])
  })

  test('a scope ends with its transaction, and no connection keeps one', async () => {
    const client = await database.app.connect()
    try {
      await client.query(`begin; select set_config('holdfast.scope', 'all', true)`)
      expect((await client.query('select 1 from sample')).rows.length).toBeGreaterThan(0)
      await client.query('commit')
      expect((await client.query('select 1 from sample')).rows).toEqual([])
    } finally {
      client.release()
    }
  })

  test('an invalid scope shows nothing', async () => {
    for (const scope of [
      'ALL',
      'all ',
      '[]',
      '{}',
      '"all"',
      'null',
      'some',
      'some\u001fPL1',
      'some\u001f{}\u001f{}',
      `some\u001f{"PL1' or true --"}\u001f{}`,
    ]) {
      const client = await database.app.connect()
      try {
        await client.query('begin')
        await client.query(`select set_config('holdfast.scope', $1, true)`, [scope])
        const seen = await client.query('select 1 from sample').then(
          ({ rows }) => rows.length,
          () => 'an error',
        )
        expect([0, 'an error'], scope).toContain(seen)
      } finally {
        await client.query('rollback')
        client.release()
      }
    }
  })
})
