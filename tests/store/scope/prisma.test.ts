import { type AddressInfo, connect, createServer } from 'node:net'
import pg from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { type AuditLine, appendToAuditLog } from '@/lib/store/scope/audit'
import { openAppPool, openOwnerPool } from '@/lib/store/scope/pool'
import { getPrisma, transact } from '@/lib/store/scope/prisma'
import { isUnavailable, isUnstorable } from '@/lib/store/scope/unavailable'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const NOW = Date.UTC(2026, 10, 10, 12)
const ACTOR = { who: 'person 1', name: 'Someone', address: null }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

test('Prisma writes and reads the same instant as PostgreSQL, on a database whose own zone is New York', async () => {
  await database.owner.query(`alter database ${database.name} set timezone to 'America/New_York'`)
  const pool = openOwnerPool(database.url, { max: 1 })
  try {
    const holdsFromAt = new Date('2026-11-01T10:00:00Z')
    await getPrisma(pool).registerEntry.create({
      data: { kind: 'service', code: 'road', content: {}, holdsFromAt },
    })
    const { rows } = await pool.query<{ seconds: number }>(
      'select extract(epoch from holds_from_at)::float8 as seconds from register_entry',
    )
    expect(rows).toEqual([{ seconds: holdsFromAt.getTime() / 1000 }])
    expect((await getPrisma(pool).registerEntry.findFirstOrThrow()).holdsFromAt).toEqual(holdsFromAt)
  } finally {
    await pool.end()
  }
})

describe('the record', () => {
  const kept = async (who: string) =>
    (
      await database.owner.query(
        `select extract(epoch from at)::float8 as at, who_name, address, what, subject, before::text, after::text, outcome,
           count from audit_entry where who = $1 order by seq`,
        [who],
      )
    ).rows

  test('has the same lines as with plain SQL: absent values are NULL, and JSON stays as written', async () => {
    const lines: AuditLine[] = [
      { what: 'nothing more' },
      { what: 'nulls', subject: null, before: null, after: undefined },
      { what: 'empty', subject: '', before: {}, after: [] },
      { what: 'plain', before: 'a text', after: 0 },
      { what: 'odd', before: { $type: 'Json', value: '[1]' }, after: { at: new Date(NOW), not: undefined } },
      { what: 'summed', outcome: 'refused', count: 7 },
    ]
    await appendToAuditLog(database.authPool, { ...ACTOR, who: 'by SQL' }, lines, NOW + 1)
    await transact(database.authPool, async (_, audit) =>
      audit({ ...ACTOR, who: 'by Prisma' }, NOW + 1, ...lines),
    )
    expect(await kept('by Prisma')).toEqual(await kept('by SQL'))
    expect(await kept('by Prisma')).toHaveLength(lines.length)
  })

  test('has no lines of a rolled-back transaction, and a refused line rolls back its change', async () => {
    const person = (id: string) => ({ id, email: `${id}@test.invalid`, name: 'One' })
    const failed = transact(database.authPool, async (db, audit) => {
      await db.person.createMany({ data: person('failed') })
      audit({ ...ACTOR, who: 'failed' }, NOW, { what: 'failed' })
      throw new Error('no more')
    })
    await expect(failed).rejects.toThrow('no more')
    expect(await kept('failed')).toEqual([])
    const refused = transact(database.authPool, async (db, audit) => {
      await db.person.createMany({ data: person('failed') })
      audit(ACTOR, NOW, { what: 'refused', outcome: 'perhaps' as 'refused' })
    })
    await expect(refused).rejects.toThrow('audit_entry_outcome')
    expect(await getPrisma(database.authPool).person.findMany({ where: { id: 'failed' } })).toEqual([])
  })
})

test('a scope belongs to one transaction: the next one on its connection sees nothing', async () => {
  const pool = openAppPool(database.url, { max: 1 })
  try {
    const plants = ['it"s', 'PL\\1']
    const own = { plants, laboratories: [] }
    const entry = (plant: string) => ({
      ...{ subject: plant, plant, laboratory: 'L', reason: '' },
      ...{ untilAt: new Date(NOW), madeBy: '', madeAt: new Date(NOW) },
    })
    const data = plants.map(entry)
    await transact(pool, (db) => db.snooze.createMany({ data }), own)
    expect(await transact(pool, (db) => db.snooze.count(), own)).toBe(2)
    expect(await transact(pool, (db) => db.snooze.count())).toBe(0)
    expect(await getPrisma(pool).snooze.count()).toBe(0)
    const foreign = transact(pool, (db) => db.snooze.createMany({ data: entry('PL2') }), own)
    await expect(foreign).rejects.toThrow('row-level security')
  } finally {
    await pool.end()
  }
})

test('a transaction longer than Prisma’s default timeout succeeds', async () => {
  expect(await transact(database.authPool, (db) => db.$executeRaw`select pg_sleep(5.2)`)).toBe(1)
})

describe('an error that Prisma wraps is recognised', () => {
  test('if the connection is lost in a transaction, after which the next one works', async () => {
    const pool = openAppPool(database.url, { max: 1 })
    const end = (pid: number) => database.owner.query('select pg_terminate_backend($1)', [pid])
    const readPid = async () =>
      (await pool.query<{ pid: number }>('select pg_backend_pid() as pid')).rows[0]?.pid ?? 0
    try {
      const pid = await readPid()
      const idle = transact(pool, async (db) => {
        await end(pid)
        await new Promise((resolve) => setTimeout(resolve, 200))
        await db.setupDraft.count()
      })
      await expect(idle).rejects.toSatisfy(isUnavailable)
      const next = await readPid()
      expect(next).not.toBe(pid)
      const busy = transact(pool, async (db) => {
        setTimeout(() => end(next), 200)
        await db.$executeRaw`select pg_sleep(30)`
      })
      await expect(busy).rejects.toSatisfy(isUnavailable)
      const third = await readPid()
      setTimeout(() => end(third), 200)
      const alone = getPrisma(pool).$executeRaw`select pg_sleep(30)`
      await expect(alone).rejects.toSatisfy(isUnavailable)
      expect(await transact(pool, (db) => db.setupDraft.count(), 'all')).toBe(0)
    } finally {
      await pool.end()
    }
  })

  test('if the connection is lost on commit: nothing is stored', async () => {
    // Terminates its own connection when the transaction commits.
    await database.owner.query(`
      create function end_oneself() returns trigger language plpgsql security definer as
        'begin perform pg_terminate_backend(pg_backend_pid()); return null; end';
      create constraint trigger ending after insert on person deferrable initially deferred
        for each row when (new.name = 'Last words') execute function end_oneself()`)
    const id = 'lost'
    const lost = transact(database.authPool, async (db, audit) => {
      await db.person.createMany({ data: { id, email: 'lost@test.invalid', name: 'Last words' } })
      audit(ACTOR, NOW, { what: 'lost', subject: id })
    })
    await expect(lost).rejects.toSatisfy(isUnavailable)
    const { rows } = await database.owner.query(
      'select (select count(*) from person where id = $1) + (select count(*) from audit_entry where subject = $1) as kept',
      [id],
    )
    expect(rows).toEqual([{ kept: '0' }])
  })

  test('if the network breaks during the commit', async () => {
    const { hostname: host, port } = new URL(database.url)
    const between = createServer((socket) => {
      const beyond = connect({ host, port: Number(port) }).on('error', () => {})
      socket.on('data', (bytes) => {
        if (bytes.includes('COMMIT')) socket.resetAndDestroy()
        else beyond.write(bytes)
      })
      socket.on('error', () => {}).on('close', () => beyond.destroy())
      beyond.pipe(socket)
    })
    await new Promise<void>((resolve) => between.listen(0, '127.0.0.1', resolve))
    const url = new URL(database.url)
    ;[url.hostname, url.port] = ['127.0.0.1', String((between.address() as AddressInfo).port)]
    const pool = openAppPool(url.href)
    await expect(transact(pool, (db) => db.setupDraft.count())).rejects.toSatisfy(isUnavailable)
    await pool.end()
    between.close()
  })

  test('if the server is missing, or full', async () => {
    const nowhere = openAppPool('postgresql://nobody@127.0.0.1:1/nothing')
    await expect(transact(nowhere, (db) => db.setupDraft.count())).rejects.toSatisfy(isUnavailable)
    await expect(getPrisma(nowhere).setupDraft.count()).rejects.toSatisfy(isUnavailable)
    await nowhere.end()
    await database.owner.query(`alter database ${database.name} connection limit 0`)
    // Not the owner, a superuser, who is always admitted.
    await database.owner.query("create role full_house login password 'a' in role holdfast_app")
    const url = new URL(database.url)
    ;[url.username, url.password] = ['full_house', 'a']
    const full = openAppPool(url.href)
    try {
      await expect(transact(full, (db) => db.setupDraft.count())).rejects.toSatisfy(isUnavailable)
    } finally {
      await full.end()
      await database.owner.query(`alter database ${database.name} connection limit -1`)
      await database.owner.query('drop role full_house')
    }
  })

  test('if the pool has no free connection', async () => {
    const pool = new pg.Pool({ connectionString: database.url, max: 1 })
    const held = await pool.connect()
    // Only now, since a busy machine takes longer to connect.
    pool.options.connectionTimeoutMillis = 100
    await expect(transact(pool, (db) => db.setupDraft.count())).rejects.toSatisfy(isUnavailable)
    // Like a server that accepts connections and then stays silent: here Prisma's own timeout strikes.
    const silent = getPrisma(pool).$transaction((db) => db.setupDraft.count(), { maxWait: 20 })
    await expect(silent).rejects.toSatisfy(isUnavailable)
    held.release()
    await pool.end()
  })

  test('if a text cannot be stored; a wrong value is another error', async () => {
    const draft = { id: 'a', madeBy: '', madeAt: new Date(NOW), content: {} }
    const keep = (odd: object) =>
      transact(database.app, (db) => db.setupDraft.createMany({ data: { ...draft, ...odd } }), 'all')
    await expect(keep({ id: 'a\u0000' })).rejects.toSatisfy(isUnstorable)
    await expect(keep({ content: { a: '\u0000' } })).rejects.toSatisfy(isUnstorable)
    await keep({})
    const twice = await keep({}).catch((error: unknown) => error)
    expect([isUnstorable(twice), isUnavailable(twice)]).toEqual([false, false])
    expect(twice).toMatchObject({ code: 'P2002' })
  })
})
