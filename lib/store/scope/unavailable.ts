/** SQLSTATE classes and codes by which PostgreSQL says that it cannot serve now: connection lost, full, shutting down. */
const STATES = /^(08...|53...|57P0[1-5])$/
/** The same from the socket, in Prisma's codes, and in its adapter's words for a commit, which Prisma passes on. */
const SOCKET_CODES = [
  ...['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'ENOENT'],
  ...['P1001', 'P1008', 'P1017', 'P2028'],
  ...['DatabaseNotReachable', 'SocketTimeout', 'ConnectionClosed'],
]
/** What the driver says, without a code, of a connection that broke under a query or could not be made in time. */
const DRIVER_MESSAGES = /connection terminated|connection error|timeout exceeded when trying to connect/i

/** Whether an error says that the database cannot be reached or cannot serve now, and may well do so later. */
export function isUnavailable(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  const code = getErrorCode(error)
  return code === null
    ? DRIVER_MESSAGES.test(error.message)
    : STATES.test(code) || SOCKET_CODES.includes(code)
}

/** The SQLSTATEs by which PostgreSQL says of a text and of a JSON value that it holds the character with the number 0. */
const UNSTORABLE = ['22021', '22P05']

/** Whether an error says that a text that was sent can be in no database. */
export function isUnstorable(error: unknown): boolean {
  return error instanceof Error && UNSTORABLE.includes(getErrorCode(error) ?? '')
}

/** What Prisma's adapter says of an error. */
interface Cause {
  originalCode?: unknown
  kind?: unknown
}

/** PostgreSQL's code or the socket's, also of an error that Prisma or its adapter has wrapped; null where there is none. */
function getErrorCode(error: Error): string | null {
  const { code, cause, meta } = error as {
    code?: unknown
    cause?: Cause
    meta?: { driverAdapterError?: { cause?: Cause } }
  }
  const said = meta?.driverAdapterError?.cause ?? cause
  const found = said?.originalCode ?? code ?? said?.kind
  return typeof found === 'string' ? found : null
}
