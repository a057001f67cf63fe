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
}

const NAME = 'backup'

const status = z.object({
  lastGoodAt: z.number().nullable(),
  file: z.string().nullable(),
  bytes: z.number().nullable(),
  faultAt: z.number().nullable(),
  faultReason: z.string().nullable(),
})

const STATUS = statement(
  status,
  `select (value -> 'lastGoodAt')::float8 as "lastGoodAt", value ->> 'file' as file, (value -> 'bytes')::float8 as bytes,
     (value -> 'faultAt')::float8 as "faultAt", value ->> 'faultReason' as "faultReason"
   from app_metadata where name = '${NAME}'`,
)

/** Reads the status as `holdfast_app` or as the owner. */
export async function readBackupStatus(pool: pg.Pool): Promise<BackupStatus> {
  const found = await withScope(pool, 'all', (client) => STATUS.first(client))
  if (!found) return { lastGoodAt: null, file: null, bytes: null, lastFault: null }
  const { lastGoodAt, file, bytes, faultAt, faultReason } = found
  const lastFault = faultAt === null || faultReason === null ? null : { at: faultAt, reason: faultReason }
  return { lastGoodAt, file, bytes, lastFault }
}

/** Records a complete backup made at `at` (ms UTC), which ends the last failure. */
export async function recordGoodBackup(
  pool: pg.Pool,
  { at, file, bytes }: { at: number; file: string; bytes: number },
): Promise<void> {
  const value = { lastGoodAt: at, file, bytes, faultAt: null, faultReason: null }
  await withScope(pool, 'all', (client) => mergeAppMetadata(client, NAME, value))
}

/** Records a failure at `at` (ms UTC). The last complete backup stays known. */
export async function recordBackupFault(pool: pg.Pool, at: number, reason: string): Promise<void> {
  await withScope(pool, 'all', (client) =>
    mergeAppMetadata(client, NAME, { faultAt: at, faultReason: reason }),
  )
}
