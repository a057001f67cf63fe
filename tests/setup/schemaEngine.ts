import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { PrismaPg } from '@prisma/adapter-pg'
import { bindMigrationAwareSqlAdapterFactory, ColumnTypeEnum } from '@prisma/driver-adapter-utils'
import type { MigrationList, SchemaEngine, SchemasContainer } from '@prisma/schema-engine-wasm'
import pg from 'pg'
import { readMigrations } from '@/lib/store/migrate/migrationFiles'

const locate = createRequire(import.meta.url)
const bindings = '@prisma/schema-engine-wasm/schema_engine_bg'

/**
 * Prisma's schema engine as WebAssembly from npm, on a database. Node cannot import a .wasm file as the package's entry
 * does, so its two halves are joined here.
 */
export async function openSchemaEngine(url: string, schema: string): Promise<SchemaEngine> {
  const glue = (await import(bindings)) as Record<string, unknown> & {
    __wbg_set_wasm(exports: WebAssembly.Exports): void
    SchemaEngine: typeof SchemaEngine
  }
  const bytes = readFileSync(locate.resolve(bindings).replace(/\.js$/, '.wasm'))
  const imports = { './schema_engine_bg.js': glue as WebAssembly.ModuleImports }
  const { instance } = await WebAssembly.instantiate(bytes, imports)
  glue.__wbg_set_wasm(instance.exports)
  Object.assign(globalThis, {
    PRISMA_WASM_PANIC_REGISTRY: { set_message: (words: string) => console.error(words) },
  })
  const begin = instance.exports.__wbindgen_start as () => void
  begin()
  const pool = new CatalogPool({ connectionString: url, options: '-c TimeZone=UTC', max: 2 })
  const adapter = bindMigrationAwareSqlAdapterFactory(new CatalogAdapter(pool, { disposeExternalPool: true }))
  return glue.SchemaEngine.new({ datamodels: [['schema.prisma', schema]] }, () => {}, adapter)
}

/**
 * The adapter does not know the one-byte type "char" of PostgreSQL's catalogues, which the engine reads for every
 * constraint (and since PostgreSQL 18 every NOT NULL column is one). This passes it off as `uuid`, which no catalogue
 * query returns and whose values the adapter leaves alone, and restores its type afterwards.
 */
class CatalogAdapter extends PrismaPg {
  override async connect() {
    const adapter = await super.connect()
    const plain = adapter.queryRaw.bind(adapter)
    adapter.queryRaw = async (query) => {
      const result = await plain(query)
      const { Uuid, Character } = ColumnTypeEnum
      return { ...result, columnTypes: result.columnTypes.map((type) => (type === Uuid ? Character : type)) }
    }
    return adapter
  }
}

class CatalogPool extends pg.Pool {
  override query(...given: unknown[]): never {
    const [oneByte, uuid] = [18, 2950]
    const answer = (super.query as (...given: unknown[]) => Promise<pg.QueryArrayResult>).apply(this, given)
    return answer.then((result) => {
      for (const field of result.fields) if (field.dataTypeID === oneByte) field.dataTypeID = uuid
      return result
    }) as never
  }
}

export function toSchemasContainer(content: string): SchemasContainer {
  return { files: [{ path: 'schema.prisma', content }] }
}

export function toMigrationList(folder: string): MigrationList {
  return {
    baseDir: folder,
    lockfile: { path: 'migration_lock.toml', content: 'provider = "postgresql"\n' },
    shadowDbInitScript: '',
    migrationDirectories: readMigrations(folder).map(({ name, sql }) => ({
      path: name,
      migrationFile: { path: 'migration.sql', content: { tag: 'ok', value: sql } },
    })),
  }
}
