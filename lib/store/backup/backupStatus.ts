import type pg from 'pg'
import { z } from 'zod'
import { mergeAppMetadata } from '../scope/appMetadata'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'

/** What is known about the scheduled backups of a database. All instants in ms UTC. */
export interface BackupStatus {
  /** When the last complete backup was made; null if there was none. */
  lastGoodAt: number | null
  /** Its file, as an absolute path on the server that made it. */
  file: string | null
  bytes: number | null
  /** The last failure since the last complete backup; its reason is a sentence. */
  lastFault: { at: number; reason: string } | null
  /** Since when daily backups are scheduled; null if they are not. */
  scheduledSince: number | null
}

/** A backup is made every day, and a server may be off for one. */
const OVERDUE_MS = 2 * 86_400_000

/** Whether backups are scheduled and the last good one is more than two days old, or none was made in that time. */
export function isBackupOverdue(
  { lastGoodAt, scheduledSince }: Pick<BackupStatus, 'lastGoodAt' | 'scheduledSince'>,
  now: number,
): boolean {
  return scheduledSince !== null && now - (lastGoodAt ?? scheduledSince) > OVERDUE_MS
}

const NAME = 'backup'

const status = z.object({
  lastGoodAt: z.number().nullable(),
  file: z.string().nullable(),
  bytes: z.number().nullable(),
  faultAt: z.number().nullable(),
  faultReason: z.string().nullable(),
  scheduledSince: z.number().nullable(),
})

const STATUS = statement(
  status,
  `select (value ->> 'lastGoodAt')::float8 as "lastGoodAt", value ->> 'file' as file, (value ->> 'bytes')::float8 as bytes,
     (value ->> 'faultAt')::float8 as "faultAt", value ->> 'faultReason' as "faultReason",
     (value ->> 'scheduledSince')::float8 as "scheduledSince"
   from app_metadata where name = '${NAME}'`,
)

/** Reads the status as `holdfast_app` or as the owner. */
export async function readBackupStatus(pool: pg.Pool): Promise<BackupStatus> {
  const found = await withScope(pool, 'all', (client) => STATUS.first(client))
  if (!found) return { lastGoodAt: null, file: null, bytes: null, lastFault: null, scheduledSince: null }
  const { lastGoodAt, file, bytes, faultAt, faultReason, scheduledSince } = found
  const lastFault = faultAt === null || faultReason === null ? null : { at: faultAt, reason: faultReason }
  return { lastGoodAt, file, bytes, lastFault, scheduledSince }
}

/** A complete backup. */
export interface GoodBackup {
  /** As of when, ms UTC. */
  at: number
  /** The absolute path of its file. */
  file: string
  bytes: number
}

/** Records a complete backup, which ends the last failure. */
export async function recordGoodBackup(
  pool: pg.Pool,
  { at, file, bytes }: GoodBackup,
  isScheduled = false,
): Promise<void> {
  const value = { lastGoodAt: at, file, bytes, faultAt: null, faultReason: null }
  await withScope(pool, 'all', (client) =>
    mergeAppMetadata(client, NAME, isScheduled ? { ...value, scheduledAt: at } : value),
  )
}

/** Records a failure at `at` (ms UTC). The last complete backup stays known. */
export async function recordBackupFault(pool: pg.Pool, at: number, reason: string): Promise<void> {
  await withScope(pool, 'all', (client) =>
    mergeAppMetadata(client, NAME, { faultAt: at, faultReason: reason }),
  )
}

const SCHEDULED = statement(
  z.object({
    scheduledAt: z.number().nullable(),
    faultAt: z.number().nullable(),
    scheduledSince: z.number().nullable(),
  }),
  `select (value ->> 'scheduledAt')::float8 as "scheduledAt", (value ->> 'faultAt')::float8 as "faultAt",
     (value ->> 'scheduledSince')::float8 as "scheduledSince"
   from app_metadata where name = '${NAME}'`,
)

/** What the schedule of a database did, on whichever server. All in ms UTC. */
export interface ScheduleState {
  scheduledAt: number | null
  faultAt: number | null
  scheduledSince: number | null
}

export async function readSchedule(pool: pg.Pool): Promise<ScheduleState> {
  const found = await withScope(pool, 'all', (client) => SCHEDULED.first(client))
  return found ?? { scheduledAt: null, faultAt: null, scheduledSince: null }
}

/** Records that backups are scheduled since `since` (ms UTC), or, by null, that they are not. */
export async function recordSchedule(pool: pg.Pool, since: number | null): Promise<void> {
  await withScope(pool, 'all', (client) => mergeAppMetadata(client, NAME, { scheduledSince: since }))
}
