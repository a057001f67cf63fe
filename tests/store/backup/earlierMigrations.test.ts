import { cpSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { withOwnerConnection } from '@/lib/store/backup/ownerConnection'
import { hasTable } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { readMigrations } from '@/lib/store/migrate/migrationFiles'
import { makeEmptyTestDatabase } from '../../setup/database'
import { backUp, makeFolder, restore, sumUp } from './backupCase'

const names = readMigrations('prisma/migrations').map(({ name }) => name)

const ROWS: [table: string, sql: string][] = [
  [
    'register_entry',
    `(kind, code, content, holds_from_at) values ('plant', 'PL1', '{"name": "A\\tplant\\n"}', now())`,
  ],
  [
    'event',
    `(source, id, kind, at, digest) values ('dock', '1', 'sealed', '2026-09-01T08:00:00Z', '\\x00ff')`,
  ],
  ['unplaced', '(event_seq) select seq from event'],
  [
    'sample',
    `(code, plant, laboratory, purpose, issued_at, has_lapsed, clocks, milestones, flags, search)
     values ('7KQ2M94Y', 'PL1', 'LAB', 'first', now(), false, '[]', '{}', '{"a b",NULL,""}', 'x')`,
  ],
  ['mark', `(name, value) values ('zone data', '"none"')`],
  ['person', `(id, email, name) values ('p1', 'p@plant.example', 'Zoë')`],
  ['person_role', `(person_id, role) values ('p1', 'reader')`],
  ['digest_preference', `(person_id) values ('p1')`],
]

test.each(names.slice(0, -1).map((name, index) => ({ name, index })))(
  'a backup at $name restores into the newest, as if the database had been migrated',
  async ({ name, index }) => {
    const folder = makeFolder()
    for (const one of names.slice(0, index + 1)) {
      mkdirSync(join(folder, one))
      cpSync(join('prisma/migrations', one), join(folder, one), { recursive: true })
    }
    const source = await makeEmptyTestDatabase()
    await migrate({ url: source.url, folder })
    await withOwnerConnection(source.url, async (client) => {
      for (const [table, sql] of ROWS) {
        if (!(await hasTable(client, `public.${table}`))) continue
        await client.query(`insert into ${table} ${sql}`)
      }
    })
    const file = join(folder, 'backup')
    await backUp(source.url, file)
    const target = await makeEmptyTestDatabase()
    const { migrated, manifest } = await restore(target.url, file)
    expect(manifest.migrations.at(-1)?.name).toBe(name)
    expect(migrated).toEqual(names.slice(index + 1))
    await migrate({ url: source.url })
    const wanted = await sumUp(source.url)
    const found = await sumUp(target.url)
    // The rows of the later migrations say when they were applied.
    const isData = (table: { name: string }) => table.name !== '_prisma_migrations'
    expect(found.filter(isData)).toEqual(wanted.filter(isData))
    expect(found.find(({ rows, name: one }) => rows > 0 && isData({ name: one }))).toBeDefined()
  },
)
