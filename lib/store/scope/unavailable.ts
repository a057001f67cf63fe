/**
 * SQLSTATE classes and codes by which PostgreSQL reports that it cannot serve now: connection lost, too many
 * connections, shutting down; the transaction ended because it was idle for too long.
 */
const STATES = /^(08...|53...|57P0[1-5]|25P03)$/
/** Those by which it reports that others were in the way: a lock was not to be had, a statement took too long, a deadlock. */
const BUSY_STATES = /^(55P03|57014|40P01)$/
/** The same from the socket, from Prisma, and from its adapter on commit, whose codes Prisma passes on. */
const SOCKET_CODES = [
  ...['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'ENOENT'],
  ...['P1001', 'P1008', 'P1017', 'P2028'],
  ...['DatabaseNotReachable', 'SocketTimeout', 'ConnectionClosed'],
]
/**
 * Messages of the driver, which has no code, for a connection that broke during a query, could not be opened or did not
 * answer in time.
 */
const DRIVER_MESSAGES =
  /connection terminated|connection error|timeout exceeded when trying to connect|query read timeout/i

/** Whether an error means that others were in the way for too long; nothing was stored, and a retry may succeed. */
export function isBusy(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  // By its name, because Next may load its class more than once in one process.
  return error.name === 'TooManyWriters' || BUSY_STATES.test(getErrorCode(error) ?? '')
}

/**
 * Why a database cannot serve: it does not answer, it is read-only (a standby, or set so), its disk is full, all its
 * connections are in use, or it is no longer there.
 */
export type DatabaseFault = 'unreachable' | 'read-only' | 'full' | 'crowded' | 'missing'

/** SQLSTATEs with a reason of their own: read_only_sql_transaction, disk_full, too_many_connections, and so on. */
const FAULTS: Record<string, DatabaseFault> = {
  '25006': 'read-only',
  '53100': 'full',
  '53300': 'crowded',
  '3D000': 'missing',
  '57P04': 'missing',
}

/** Why the database cannot serve now, if an error says so; null for any other error. A retry later may succeed. */
export function findDatabaseFault(error: unknown): DatabaseFault | null {
  if (!(error instanceof Error)) return null
  const code = getErrorCode(error)
  if (code === null) return DRIVER_MESSAGES.test(error.message) ? 'unreachable' : null
  return FAULTS[code] ?? (STATES.test(code) || SOCKET_CODES.includes(code) ? 'unreachable' : null)
}

/** Whether an error means that the database is unavailable for now, or busy; a retry may succeed. */
export function isUnavailable(error: unknown): boolean {
  return isBusy(error) || findDatabaseFault(error) !== null
}

/** The SQLSTATEs for a text or JSON value that contains U+0000. */
const UNSTORABLE = ['22021', '22P05']

/** Whether an error means that PostgreSQL can never store a text that was sent. */
export function isUnstorable(error: unknown): boolean {
  return error instanceof Error && UNSTORABLE.includes(getErrorCode(error) ?? '')
}

/** The cause that Prisma's adapter attaches to an error. */
interface Cause {
  originalCode?: unknown
  kind?: unknown
}

/** The code from PostgreSQL or the socket, also if Prisma or its adapter wrapped the error; null if there is none. */
function getErrorCode(error: Error): string | null {
  const { code, cause, meta } = error as {
    code?: unknown
    cause?: Cause
    meta?: { driverAdapterError?: { cause?: Cause } }
  }
  const origin = meta?.driverAdapterError?.cause ?? cause
  // P2010 says no more than that a statement of our own words failed.
  const found = origin?.originalCode ?? (code === 'P2010' ? undefined : code) ?? origin?.kind ?? code
  return typeof found === 'string' ? found : null
}
