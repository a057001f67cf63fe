import { readFileSync } from 'node:fs'
import type pg from 'pg'
import { z } from 'zod'
import { MINUTE } from '@/lib/hold/zone'
import { KEPT_BACKUPS } from '../backup/scheduledBackup'
import { getEnvironment } from '../environment'
import { readMigrations } from '../migrate/migrationFiles'
import { getAppPool, getAuthPool } from '../scope/sharedPool'
import { statement } from '../scope/statement'
import type { WriterQueueState } from '../scope/writerQueue'
import { getWriterQueue } from '../scope/writers'
import { getReadiness, type Readiness } from './readiness'

/** Who was seen within this time counts as at work, ms. */
export const SEEN_MS = 15 * MINUTE

/** What the page about the server shows. Instants in ms UTC. */
export interface ServerState {
  readiness: Readiness
  database: z.infer<typeof databaseRow>
  /** The name of the newest migration of this program. */
  migration: string
  /** Names of the people who were seen in the last minutes, in order. */
  seen: readonly string[]
  writers: WriterQueueState
  /** The version of this program. */
  version: string
  node: string
  /** How many scheduled backups are kept. */
  keptBackups: number
  folders: { data: string; backups: string | undefined; logs: string | undefined }
}

const databaseRow = z.object({
  version: z.string(),
  name: z.string(),
  /** Of the whole database, bytes. */
  bytes: z.number(),
  /** To this database, of all programs. */
  connections: z.number(),
  /** That the server allows in all. */
  maxConnections: z.number(),
})

const DATABASE = statement(
  databaseRow,
  `select current_setting('server_version') as version, current_database() as name,
     pg_database_size(current_database())::float8 as bytes,
     (select count(*)::int from pg_stat_activity where datname = current_database()) as connections,
     current_setting('max_connections')::int as "maxConnections"`,
)

const SEEN = statement(
  z.object({ name: z.string() }),
  `select name from person where left_at is null
     and exists (select from session where person_id = person.id and updated_at > $1 and expires_at > $2)
   order by name, id`,
)

/** Reads the state of this server at `now` (ms UTC). */
export async function readServerState(now: number): Promise<ServerState> {
  const authPool: pg.Pool = getAuthPool()
  const { dataDir, backupDir, logDir } = getEnvironment()
  const seen = await SEEN.all(authPool, [new Date(now - SEEN_MS), new Date(now)])
  return {
    readiness: await getReadiness(),
    database: await DATABASE.one(authPool),
    migration: readMigrations('prisma/migrations').at(-1)?.name ?? '',
    seen: seen.map(({ name }) => name),
    writers: getWriterQueue(getAppPool()).state,
    version: readVersion(),
    node: process.version,
    keptBackups: KEPT_BACKUPS,
    folders: { data: dataDir, backups: backupDir, logs: logDir },
  }
}

function readVersion(): string {
  return z.object({ version: z.string() }).parse(JSON.parse(readFileSync('package.json', 'utf8'))).version
}
