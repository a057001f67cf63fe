import { beforeAll, describe, expect, test } from 'vitest'
import { assertUtc, openAppPool, openOwnerPool } from '@/lib/store/scope/pool'
import { makeEmptyTestDatabase, makeTestDatabase, type TestDatabase } from '../../setup/database'

describe('a database whose own zone is New York', () => {
  let database: TestDatabase
  const instant = new Date('2026-11-10T10:00:00.000Z')

  beforeAll(async () => {
    database = await makeEmptyTestDatabase()
    await database.owner.query(`alter database ${database.name} set timezone to 'America/New_York'`)
    await database.owner.query('create table stamped (at timestamptz not null)')
    await database.owner.query('grant insert, select on stamped to holdfast_app')
  })

  test('really gives New York to a plain connection, so the tests below prove something', async () => {
    const { Pool } = await import('pg')
    const plain = new Pool({ connectionString: database.url })
    const { rows } = await plain.query('show timezone')
    await expect(assertUtc(plain)).rejects.toThrow(/America\/New_York/)
    await plain.end()
    expect(rows[0].TimeZone).toBe('America/New_York')
  })

  test.each(['owner', 'app'] as const)('keeps instants exact through the %s pool', async (which) => {
    const pool = which === 'owner' ? openOwnerPool(database.url) : openAppPool(database.url)
    await assertUtc(pool)
    await pool.query('insert into stamped (at) values ($1)', [instant])
    const { rows } = await pool.query<{ seconds: number; at: Date; text: string }>(
      'select extract(epoch from at)::float8 as seconds, at, at::text as text from stamped limit 1',
    )
    await pool.end()
    expect(rows[0]).toEqual({
      seconds: instant.getTime() / 1000,
      at: instant,
      text: '2026-11-10 10:00:00+00',
    })
  })

  test('keeps options of the URL, except against UTC', async () => {
    const address = new URL(database.url)
    address.searchParams.set('options', '-c TimeZone=Asia/Kolkata -c work_mem=8MB')
    const pool = openOwnerPool(address.href)
    const { rows } = await pool.query(
      `select current_setting('TimeZone') as zone, current_setting('work_mem') as memory`,
    )
    await pool.end()
    expect(rows[0]).toEqual({ zone: 'UTC', memory: '8MB' })
  })
})

describe('the role of the running program', () => {
  let database: TestDatabase
  beforeAll(async () => {
    database = await makeTestDatabase()
  })

  test('is holdfast_app, owns nothing, cannot log in and cannot create anything', async () => {
    const { rows } = await database.app.query(
      `select current_user as name, rolsuper, rolcanlogin, rolcreatedb, rolcreaterole,
         (select count(*)::int from pg_class where relowner = pg_roles.oid) as owned
       from pg_roles where rolname = current_user`,
    )
    expect(rows[0]).toEqual({
      name: 'holdfast_app',
      rolsuper: false,
      rolcanlogin: false,
      rolcreatedb: false,
      rolcreaterole: false,
      owned: 0,
    })
    await expect(database.app.query('create table mine (n int)')).rejects.toThrow(/permission denied/)
    await expect(database.app.query('drop table _prisma_migrations')).rejects.toThrow(/must be owner/)
  })

  test('cancels a statement after its timeout', async () => {
    const pool = openAppPool(database.url, { statementTimeoutMs: 50 })
    await expect(pool.query('select pg_sleep(5)')).rejects.toThrow(/statement timeout/)
    await pool.end()
  })
})
