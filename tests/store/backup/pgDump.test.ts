import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type pg from 'pg'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { isProgrammeStarted } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { ensureDerived } from '@/lib/store/projection/rebuild'
import { openAppPool, openOwnerPool } from '@/lib/store/scope/pool'
import { withScope } from '@/lib/store/scope/scope'
import { fillTwoMakers } from '../../access/twoMakers'
import { connect } from '../../setup/database'
import { atEndOfFile } from '../../setup/endOfFile'
import { noSystemPostgres, type SystemPostgres, startSystemPostgres } from '../../setup/systemPostgres'

const ALL = '-c holdfast.scope=all'
let server: SystemPostgres
let admin: pg.Pool
let folder: string
let owner: string

beforeEach(({ skip }) => skip(noSystemPostgres !== null, noSystemPostgres ?? ''))

beforeAll(async () => {
  if (noSystemPostgres) return
  folder = mkdtempSync(join(tmpdir(), 'holdfast-pg-dump-'))
  atEndOfFile(() => rmSync(folder, { recursive: true }))
  server = await startSystemPostgres()
  admin = openPool(server.url('postgres'))
  await admin.query('create role holdfast_app nologin; create role holdfast_door nologin')
  await admin.query('create role plain login; grant holdfast_app, holdfast_door to plain')
  await admin.query('create database programme owner plain')
  owner = server.url('programme', 'plain')
  await migrate({ url: owner })
  const database = connect(owner)
  await fillTwoMakers({ ...database, owner: openPool(`${owner}&options=${encodeURIComponent(ALL)}`) })
  await database.close()
})

function openPool(url: string): pg.Pool {
  const pool = openOwnerPool(url, { max: 1 })
  atEndOfFile(() => pool.end())
  return pool
}

test('as the owner it fails and says what to do, and never writes an empty dump', () => {
  expect(server.run('pg_dump', [owner])).toMatchObject({ code: 1 })
  const ran = server.run('pg_dump', ['--enable-row-security', owner])
  expect(ran.stderr).toMatch(/This session has no scope .* npm run backup -- FILE/)
  expect(ran.code).toBe(1)
})

test('a plain owner still learns whether the programme is started', async () => {
  expect(await isProgrammeStarted(owner)).toBe(true)
})

test.each([
  ['a superuser', [], {}],
  ['the owner in the scope of all', ['--enable-row-security'], { PGOPTIONS: ALL }],
])('a dump by %s restores into a database that serves', async (who, options, variables) => {
  const name = `restored_${options.length}`
  const file = join(folder, name)
  const source = who === 'a superuser' ? server.url('programme') : owner
  const args = ['--format=custom', '--exclude-schema=queue', `--file=${file}`, ...options, source]
  expect(server.run('pg_dump', args, variables)).toEqual({ code: 0, stdout: '', stderr: '' })
  await admin.query(`create database ${name} owner plain`)
  const target = server.url(name, 'plain')
  const restored = server.run('pg_restore', ['--no-owner', '--exit-on-error', `--dbname=${target}`, file])
  expect(restored).toEqual({ code: 0, stdout: '', stderr: '' })
  expect(await migrate({ url: target })).toEqual([])
  const [before, after] = [openAppPool(owner), openAppPool(target)]
  atEndOfFile(() => Promise.all([before.end(), after.end()]))
  const read = (pool: pg.Pool) =>
    withScope(pool, 'all', async (client) => (await client.query('select * from sample order by code')).rows)
  expect(await read(before)).toHaveLength(4)
  expect(await read(after)).toEqual(await read(before))
  expect(await ensureDerived(after, Date.now())).toBeNull()
})
