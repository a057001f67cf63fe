import { mkdir, rm } from 'node:fs/promises'
import { join } from 'node:path'
import type pg from 'pg'
import { z } from 'zod'
import { getDatabaseName } from '../migrate/databases'
import { openOwnerPool } from '../scope/pool'
import { command, statement } from '../scope/statement'
import {
  readSchedule,
  recordBackupFault,
  recordGoodBackup,
  recordSchedule,
  type ScheduleState,
} from './backupStatus'
import { withOwnerConnection } from './ownerConnection'
import { saveBackup } from './saveBackup'
import {
  type BackupSource,
  listScheduledFiles,
  listUnfinishedFiles,
  nameScheduledFile,
} from './scheduledFiles'

/** How many backups of a database a folder keeps. */
export const KEPT_BACKUPS = 14

/** The wait after a failure. */
const RETRY_MS = 30 * 60_000

export interface BackupSchedule {
  /** The owner's URL of the database. */
  url: string
  /** The folder of the backups, which is created if missing. */
  dir: string
  publicKey?: string | undefined
  signal?: AbortSignal | undefined
}

// Held by one server at a time, at the longest until its connection closes.
const CLAIM = statement(
  z.object({ isOurs: z.boolean() }),
  `select pg_try_advisory_lock(hashtext('holdfast scheduled backup')) as "isOurs"`,
)

const CLUSTER = statement(
  z.object({ cluster: z.string() }),
  'select system_identifier::text as cluster from pg_control_system()',
)

const RELEASE = command(`select pg_advisory_unlock(hashtext('holdfast scheduled backup'))`)

/** A scheduled backup that was made. */
export interface DueBackup {
  file: string
  /** Why files that are no longer kept could not all be removed; null if they were. */
  removalFault: string | null
}

/**
 * Makes the backup of the day (UTC) unless there is one, whichever server made it. Then removes backups of this database
 * beyond the newest 14, and no other files. A failure is recorded and tried again after half an hour. `now` in ms UTC.
 * @returns null if no backup was due here.
 * @throws the error of a failed backup.
 */
export async function makeDueBackup(schedule: BackupSchedule, now: number): Promise<DueBackup | null> {
  const { url } = schedule
  return withOwnerConnection(url, async (client) => {
    const pool = openOwnerPool(url, { max: 1 })
    try {
      const state = await readSchedule(pool)
      if (state.scheduledSince === null) await recordSchedule(pool, now)
      if (!isDue(state, now) || !(await CLAIM.one(client)).isOurs) return null
      const source = { database: getDatabaseName(url), ...(await CLUSTER.one(client)) }
      const made = await makeClaimed(schedule, source, pool, now)
      await RELEASE.run(client)
      return made
    } finally {
      await pool.end()
    }
  })
}

async function makeClaimed(
  schedule: BackupSchedule,
  source: BackupSource,
  pool: pg.Pool,
  now: number,
): Promise<DueBackup | null> {
  // Another server may have made it since.
  if (!isDue(await readSchedule(pool), now)) return null
  const { file, bytes } = await save(schedule, source, now).catch(async (error: Error) => {
    // Without a database nothing can be recorded, and that is not the failure to tell.
    if (!schedule.signal?.aborted) await recordBackupFault(pool, now, error.message).catch(() => {})
    throw error
  })
  await recordGoodBackup(pool, { at: now, file, bytes }, true)
  return { file, removalFault: await removeOld(schedule.dir, source) }
}

/** A clock that was ahead and is set back makes a backup rather than none. */
function isDue({ scheduledAt, faultAt }: ScheduleState, now: number): boolean {
  const isWaiting = faultAt !== null && Math.abs(now - faultAt) < RETRY_MS
  return !isWaiting && (scheduledAt === null || toDay(scheduledAt) !== toDay(now))
}

function toDay(at: number): string {
  return new Date(at).toISOString().slice(0, 10)
}

async function save({ url, dir, publicKey, signal }: BackupSchedule, source: BackupSource, now: number) {
  await mkdir(dir, { recursive: true, mode: 0o700 })
  const file = join(dir, nameScheduledFile(source, now))
  const { bytes } = await saveBackup(url, file, now, { publicKey, signal })
  return { file, bytes }
}

/**
 * Nobody else writes into the folder for this database now: they would need the claim.
 * @returns the first failure; a file that cannot be removed does not keep the others.
 */
async function removeOld(dir: string, source: BackupSource): Promise<string | null> {
  let fault: string | null = null
  const old = [...listScheduledFiles(dir, source).slice(KEPT_BACKUPS), ...listUnfinishedFiles(dir, source)]
  for (const { path } of old)
    await rm(path, { force: true }).catch(({ message }: Error) => {
      fault ??= message
    })
  return fault
}
