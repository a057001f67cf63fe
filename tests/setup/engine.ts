import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestProject } from 'vitest/node'
import type { Engine } from '@/lib/store/engine/engine'
import { startEngine } from '@/lib/store/engine/engine'
import { ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openOwnerPool } from '@/lib/store/scope/pool'

declare module 'vitest' {
  export interface ProvidedContext {
    /** The owner's URL of the migrated template database. A connection to it would prevent copies. */
    templateUrl: string
  }
}

const template = 'holdfast_template'
const shared = globalThis as typeof globalThis & {
  testEngine?: Promise<TestEngine>
  testEngineUsers?: number
}

interface TestEngine {
  engine: Engine
  folder: string
}

/** One engine for the whole run, in a folder of its own, started by the first project and stopped by the last. */
export async function setup(project: TestProject) {
  shared.testEngineUsers = (shared.testEngineUsers ?? 0) + 1
  shared.testEngine ??= start()
  const { engine } = await shared.testEngine
  project.provide('templateUrl', engine.url(template))
}

export async function teardown() {
  shared.testEngineUsers = (shared.testEngineUsers ?? 1) - 1
  if (shared.testEngineUsers > 0 || !shared.testEngine) return
  const { engine, folder } = await shared.testEngine
  const left = await listTestDatabases(engine)
  await engine.stop()
  await rm(folder, { recursive: true, force: true })
  if (left.length === 0) return
  // Vitest prints an error thrown here, but reports success.
  process.exitCode = 1
  throw new Error(`Test files did not drop ${left.length} databases that they made.`)
}

async function listTestDatabases(engine: Engine): Promise<unknown[]> {
  const pool = openOwnerPool(engine.url('postgres'), { max: 1 })
  const { rows } = await pool.query(`select from pg_database where datname like 'test\\_%'`)
  await pool.end()
  return rows
}

async function start(): Promise<TestEngine> {
  const folder = await mkdtemp(join(tmpdir(), 'holdfast-test-'))
  const engine = await startEngine({ dataDir: folder, isDurable: false })
  await ensureDatabase(engine.url(template))
  await migrate({ url: engine.url(template) })
  return { engine, folder }
}
