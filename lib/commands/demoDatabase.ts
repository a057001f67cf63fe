import { existsSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { getEnvironment } from '@/lib/store/environment'
import {
  databaseExists,
  dropDatabase,
  ensureDatabase,
  getDatabaseName,
  renameDatabase,
  withDatabase,
} from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openAppPool } from '@/lib/store/scope/pool'

/**
 * Recreates the demo programme, relative to `now` (ms UTC). Loads it into a second database that takes over the name
 * once complete, so an interrupted load leaves no half programme.
 * @param report receives progress, in sentences.
 * @throws Error with advice if the previous demo is in use.
 */
export async function makeDemo(
  demoUrl: string,
  now: number,
  report: (sentence: string) => void,
): Promise<void> {
  const besideUrl = withDatabase(demoUrl, `${getDatabaseName(demoUrl)}_loading`)
  await dropDatabase(besideUrl, true)
  await ensureDatabase(besideUrl)
  await migrate({ url: besideUrl })
  const { loadDemo } = await import('@/prisma/demo/load')
  const pool = openAppPool(besideUrl)
  try {
    await loadDemo(pool, now, report)
  } finally {
    await pool.end()
  }
  await dropDatabase(demoUrl)
  await renameDatabase(besideUrl, getDatabaseName(demoUrl))
  rmSync(getRemovalNotePath(), { force: true })
}

/** Removes the demo, and leaves a marker file so that the next start does not recreate it. */
export async function removeDemo(demoUrl: string, isEmbedded: boolean): Promise<boolean> {
  const wasThere = await databaseExists(demoUrl, getDatabaseName(demoUrl))
  await dropDatabase(demoUrl)
  if (isEmbedded) writeFileSync(getRemovalNotePath(), 'The demo was removed. npm run demo recreates it.\n')
  return wasThere
}

/** Whether a person removed the demo of the embedded engine. */
export function isDemoRemoved(): boolean {
  return existsSync(getRemovalNotePath())
}

function getRemovalNotePath(): string {
  return join(getEnvironment().dataDir, 'demo-removed')
}
