import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type pg from 'pg'
import { ensureBuild } from '@/lib/commands/build'
import { startWebServer } from '@/lib/commands/webServer'
import { startEngine } from '@/lib/store/engine/engine'
import { findFreePort } from '@/lib/store/engine/freePort'
import { ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openAppPool, openAuthPool } from '@/lib/store/scope/pool'

/** A durable engine, as `npm start` runs it, in a folder of its own. */
export interface BenchEngine {
  /** A migrated, empty database, with a pool as `holdfast_app` and one as `holdfast_door`. */
  database(name: string): Promise<{ url: string; pool: pg.Pool; authPool: pg.Pool }>
  /**
   * Serves the built pages from a database. Returns the URL without a trailing slash. `variables` extend its
   * environment.
   */
  serve(url: string, variables?: Record<string, string>): Promise<string>
  /** A folder for a server's files, removed at the end. */
  folder: string
}

/** Runs `work` with an engine, then stops and removes it. */
export async function withEngine(work: (engine: BenchEngine) => Promise<void>): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'holdfast-bench-'))
  const engine = await startEngine({ dataDir: folder })
  const closing: (() => Promise<unknown>)[] = []
  try {
    await work({
      folder,
      async database(name) {
        const url = engine.url(name)
        await ensureDatabase(url)
        await migrate({ url })
        const pool = openAppPool(url)
        const authPool = openAuthPool(url, { max: 2 })
        closing.push(() => Promise.all([pool.end(), authPool.end()]))
        return { url, pool, authPool }
      },
      async serve(url, variables) {
        await ensureBuild()
        const server = await startWebServer({ databaseUrl: url, port: await findFreePort(), variables })
        closing.push(() => server.stop())
        return `http://127.0.0.1:${server.port}`
      },
    })
  } finally {
    for (const close of closing.reverse()) await close()
    await engine.stop()
    await rm(folder, { recursive: true, force: true })
  }
}
