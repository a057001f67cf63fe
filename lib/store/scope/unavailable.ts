/**
 * SQLSTATE classes and codes by which PostgreSQL reports that it cannot serve now: connection lost, too many
 * connections, shutting down.
 */
const STATES = /^(08...|53...|57P0[1-5])$/
/** The same from the socket, from Prisma, and from its adapter on commit, whose codes Prisma passes on. */
const SOCKET_CODES = [
  ...['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'ENOENT'],
  ...['P1001', 'P1008', 'P1017', 'P2028'],
  ...['DatabaseNotReachable', 'SocketTimeout', 'ConnectionClosed'],
]
/**
 * Messages of the driver, which has no code, for a connection that broke during a query or could not be opened in time.
 */
const DRIVER_MESSAGES = /connection terminated|connection error|timeout exceeded when trying to connect/i

/** Whether an error means that the database is unavailable for now; a retry may succeed. */
export function isUnavailable(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  const code = getErrorCode(error)
  return code === null
    ? DRIVER_MESSAGES.test(error.message)
    : STATES.test(code) || SOCKET_CODES.includes(code)
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
  const found = origin?.originalCode ?? code ?? origin?.kind
  return typeof found === 'string' ? found : null
}
