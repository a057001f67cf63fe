import { readFileSync } from 'node:fs'
import type { DiffTarget, SchemaEngine } from '@prisma/schema-engine-wasm'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeTestDatabase, type TestDatabase } from '../setup/database'
import { openSchemaEngine, toMigrationList, toSchemasContainer } from '../setup/schemaEngine'

const schema = readFileSync('prisma/schema.prisma', 'utf8')
const filters = { externalTables: [], externalEnums: [] }
let database: TestDatabase
let engine: SchemaEngine

beforeAll(async () => {
  database = await makeTestDatabase()
  engine = await openSchemaEngine(database.url, schema)
})
afterAll(() => engine.free())

/** What would have to be run on the migrated database to make it what a schema says. */
async function scriptTo(content: string): Promise<string | null> {
  const from: DiffTarget = { tag: 'schemaDatasource', ...toSchemasContainer(schema), configDir: '.' }
  const to: DiffTarget = { tag: 'schemaDatamodel', ...toSchemasContainer(content) }
  const { stdout } = await engine.diff({ from, to, script: true, exitCode: null, filters })
  return stdout
}

test('the migrated database is what schema.prisma says', async () => {
  expect(await scriptTo(schema)).toContain('This is an empty migration')
})

test('a model that the migrations lack shows up as a difference', async () => {
  const more = `${schema}\nmodel Extra {\n  id Int @id\n}\n`
  expect(await scriptTo(more)).toContain('CREATE TABLE "Extra"')
})

test("Prisma's own engine finds every migration applied, none changed and none missing", async () => {
  const migrationsList = toMigrationList('prisma/migrations')
  expect(migrationsList.migrationDirectories.length).toBeGreaterThan(0)
  const { rows } = await database.owner.query('select count(*)::int as n from _prisma_migrations')
  expect(rows[0].n).toBe(migrationsList.migrationDirectories.length)
  const applied = await engine.applyMigrations({ migrationsList, filters })
  expect(applied.appliedMigrationNames).toEqual([])
  const found = await engine.diagnoseMigrationHistory({
    migrationsList,
    optInToShadowDatabase: false,
    filters,
  })
  expect(found).toMatchObject({
    hasMigrationsTable: true,
    editedMigrationNames: [],
    failedMigrationNames: [],
    history: null,
  })
})
