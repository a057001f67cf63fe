import { existsSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { takeLock } from '@/lib/store/engine/lock'
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
import { ensureDerived } from '@/lib/store/projection/rebuild'
import { openAppPool } from '@/lib/store/scope/pool'

/**
 * Runs what creates or removes the demo. Only one process at a time may.
 * @throws Error that names the process that does so already.
 */
export async function withDemoLock<T>(work: () => Promise<T>): Promise<T> {
  const lock = await takeLock(join(getEnvironment().dataDir, 'demo-lock'))
  if ('heldBy' in lock) {
    throw new Error(
      `The demo is being created or removed already (process ${lock.heldBy}). Wait until that is done, then look whether anything is left to do.`,
    )
  }
  try {
    return await work()
  } finally {
    lock.release()
  }
}

/**
 * Recreates the demo programme, relative to `now` (ms UTC). Loads it into a second database that takes over the name
 * once complete, so an interrupted load leaves no half programme. The caller holds the demo's lock.
 * @param report receives progress, in sentences.
 * @param isForced ends sessions on the previous demo; otherwise they make it fail.
 * @throws Error with advice if the previous demo is in use.
 */
export async function makeDemo(
  demoUrl: string,
  now: number,
  report: (sentence: string) => void,
  isForced = false,
): Promise<void> {
  const besideUrl = withDatabase(demoUrl, `${getDatabaseName(demoUrl)}_loading`)
  await dropDatabase(besideUrl, true)
  await ensureDatabase(besideUrl)
  await migrate({ url: besideUrl })
  const { loadDemo } = await import('@/prisma/demo/load')
  const pool = openAppPool(besideUrl)
  try {
    // Notes the version of the rows that loading derives, so that the first start does not derive them once more.
    await ensureDerived(pool, now)
    await loadDemo(pool, now, report)
  } finally {
    await pool.end()
  }
  await dropDatabase(demoUrl, isForced)
  await renameDatabase(besideUrl, getDatabaseName(demoUrl))
  rmSync(getRemovalNotePath(), { force: true })
}

/**
 * Drops the demo's database. The caller holds the demo's lock.
 * @param isForced ends sessions on it; otherwise they make it fail.
 * @returns whether there was one.
 */
export async function removeDemo(demoUrl: string, isForced: boolean): Promise<boolean> {
  const wasThere = await databaseExists(demoUrl, getDatabaseName(demoUrl))
  await dropDatabase(demoUrl, isForced)
  return wasThere
}

/** Leaves a marker file, so that no launcher on the embedded engine serves or recreates the demo. */
export function noteDemoRemoved() {
  writeFileSync(getRemovalNotePath(), 'The demo was removed. npm run demo recreates it.\n')
}

/** Whether a person removed the demo of the embedded engine. */
export function isDemoRemoved(): boolean {
  return existsSync(getRemovalNotePath())
}

function getRemovalNotePath(): string {
  return join(getEnvironment().dataDir, 'demo-removed')
}
