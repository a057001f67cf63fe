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
 * Makes the demo programme anew, relative to `now` (ms UTC). It is loaded into a database beside, which takes the name only when
 * whole: a loading that is cut short leaves no half programme that looks like one.
 * @param report told how far it is, in sentences.
 * @throws Error, in a sentence, if the former demo is in use.
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

/** Takes the demo away, and leaves a note so that the next start does not make it again. */
export async function removeDemo(demoUrl: string, isEmbedded: boolean): Promise<boolean> {
  const wasThere = await databaseExists(demoUrl, getDatabaseName(demoUrl))
  await dropDatabase(demoUrl)
  if (isEmbedded) writeFileSync(getRemovalNotePath(), 'The demo was removed. npm run demo brings it back.\n')
  return wasThere
}

/** Whether the demo of the embedded engine was removed by a person. */
export function isDemoRemoved(): boolean {
  return existsSync(getRemovalNotePath())
}

function getRemovalNotePath(): string {
  return join(getEnvironment().dataDir, 'demo-removed')
}
