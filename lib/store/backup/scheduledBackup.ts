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
import { listScheduledFiles, listUnfinishedFiles, nameScheduledFile } from './scheduledFiles'

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

const RELEASE = command(`select pg_advisory_unlock(hashtext('holdfast scheduled backup'))`)

/**
 * Makes the backup of the day (UTC) unless there is one, whichever server made it. Then removes backups beyond the newest 14,
 * and no other files. A failure is recorded and tried again after half an hour. `now` in ms UTC.
 * @returns the file, or null if no backup was due here.
 * @throws the error of a failed backup.
 */
export async function makeDueBackup(schedule: BackupSchedule, now: number): Promise<string | null> {
  const { url } = schedule
  return withOwnerConnection(url, async (client) => {
    const pool = openOwnerPool(url, { max: 1 })
    try {
      const state = await readSchedule(pool)
      if (state.scheduledSince === null) await recordSchedule(pool, now)
      if (!isDue(state, now) || !(await CLAIM.one(client)).isOurs) return null
      const file = await makeClaimed(schedule, pool, now)
      await RELEASE.run(client)
      return file
    } finally {
      await pool.end()
    }
  })
}

async function makeClaimed(schedule: BackupSchedule, pool: pg.Pool, now: number): Promise<string | null> {
  // Another server may have made it since.
  if (!isDue(await readSchedule(pool), now)) return null
  const { file, bytes } = await save(schedule, now).catch(async (error: Error) => {
    // Without a database nothing can be recorded, and that is not the failure to tell.
    if (!schedule.signal?.aborted) await recordBackupFault(pool, now, error.message).catch(() => {})
    throw error
  })
  await recordGoodBackup(pool, { at: now, file, bytes }, true)
  await removeOld(schedule)
  return file
}

/** A clock that was ahead and is set back makes a backup rather than none. */
function isDue({ scheduledAt, faultAt }: ScheduleState, now: number): boolean {
  const isWaiting = faultAt !== null && Math.abs(now - faultAt) < RETRY_MS
  return !isWaiting && (scheduledAt === null || toDay(scheduledAt) !== toDay(now))
}

function toDay(at: number): string {
  return new Date(at).toISOString().slice(0, 10)
}

async function save({ url, dir, publicKey, signal }: BackupSchedule, now: number) {
  await mkdir(dir, { recursive: true, mode: 0o700 })
  const file = join(dir, nameScheduledFile(getDatabaseName(url), now))
  const { bytes } = await saveBackup(url, file, now, { publicKey, signal })
  return { file, bytes }
}

/** Nobody else writes into the folder for this database now: they would need the claim. */
async function removeOld({ url, dir }: BackupSchedule): Promise<void> {
  const name = getDatabaseName(url)
  const old = [...listScheduledFiles(dir, name).slice(KEPT_BACKUPS), ...listUnfinishedFiles(dir, name)]
  for (const { path } of old) await rm(path, { force: true })
}
