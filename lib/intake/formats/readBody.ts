import { createHash, type Hash } from 'node:crypto'
import { LIMITS } from './limits'
import { type Problem, problem } from './problem'

const MIB = 1024 * 1024

/**
 * Reads a body as text. `admitBulk` is called once if the body is a bulk body, and may return why it is refused;
 * from then on `pause` lets others go before each chunk, so that the fastest sender does not take the whole server.
 * Returns a problem, too, if the body is larger than `maxBytes`, breaks off, does not match its Content-Digest, or is
 * not UTF-8.
 */
export async function readBody(
  request: Request,
  maxBytes: number,
  admitBulk: () => Problem | null = () => null,
  pause: () => Promise<void> = async () => {},
): Promise<string | Problem> {
  const announced = Number(request.headers.get('content-length') ?? 0)
  const reader = request.body?.getReader()
  if (announced > maxBytes) {
    void discard(reader, pause)
    return describeTooLarge(maxBytes)
  }
  // Each chunk is hashed and decoded as it comes: all at once would block others.
  const digests = beginDigests(request.headers.get('content-digest'))
  if (digests === 'unreadable') {
    void discard(reader, pause)
    return UNREADABLE_DIGEST
  }
  const decoder = new TextDecoder('utf-8', { fatal: true })
  const parts: string[] = []
  let isUtf8 = true
  let size = 0
  let bulkSince: number | null = null
  while (reader) {
    const chunk = await readChunk(reader)
    if (chunk === 'broken') return BROKEN_OFF
    if (chunk === null) break
    const before = size
    size += chunk.byteLength
    const isFirstOfBulk = before <= LIMITS.bulkBytes && size > LIMITS.bulkBytes
    if (isFirstOfBulk) bulkSince = performance.now()
    const refusal =
      size > maxBytes
        ? describeTooLarge(maxBytes)
        : isFirstOfBulk
          ? admitBulk()
          : isTooSlow(size, bulkSince)
            ? TOO_SLOW
            : null
    if (refusal) {
      void discard(reader, pause)
      return refusal
    }
    for (const { hash } of digests) hash.update(chunk)
    if (isUtf8) isUtf8 = decode(decoder, chunk, parts)
    if (size > LIMITS.bulkBytes) await pause()
  }
  if (digests.some(({ hash, expected }) => hash.digest('base64') !== expected)) return OTHER_DIGEST
  return isUtf8 && decode(decoder, null, parts) ? parts.join('') : NOT_UTF_8
}

/** A bulk body that comes more slowly keeps others from sending theirs: 256 kbit/s, as of a slow line. */
const MIN_BYTES_PER_SECOND = 32_000
/** How long a bulk body may come slowly, ms. */
const SLOW_START_MS = 10_000

/** Whether a body of `size` bytes, a bulk body since an instant of `performance.now()`, comes too slowly. */
function isTooSlow(size: number, bulkSince: number | null): boolean {
  if (bulkSince === null) return false
  const tookMs = performance.now() - bulkSince
  const came = size - LIMITS.bulkBytes
  return tookMs > SLOW_START_MS && came < (tookMs / 1_000) * MIN_BYTES_PER_SECOND
}

const TOO_SLOW = problem(
  'body-too-slow',
  408,
  'Body comes too slowly',
  `A body over ${LIMITS.bulkBytes / 1024} KiB has to come with ${MIN_BYTES_PER_SECOND / 1_000} kB a second, since others wait for it. Nothing was stored. Over a slow line send smaller bodies.`,
)

/** Adds the text of a chunk, or (null) of the end, to `parts`. Returns whether it is UTF-8. */
function decode(decoder: TextDecoder, chunk: Uint8Array | null, parts: string[]): boolean {
  try {
    parts.push(chunk ? decoder.decode(chunk, { stream: true }) : decoder.decode())
    return true
  } catch {
    return false
  }
}

const NOT_UTF_8 = problem(
  'not-utf-8',
  400,
  'Body is not UTF-8',
  'Save the file as UTF-8 and send it again. Nothing was stored.',
)

/**
 * What is read of a refused body, bytes: as much as of the largest that is taken. Some clients read an answer only after
 * the last byte of their body.
 */
const MAX_DISCARDED = LIMITS.registerBytes

/**
 * Reads the rest of a refused body, while it is answered: a connection cut before its end can lose the answer. Others go
 * before each chunk.
 */
async function discard(
  reader: ReadableStreamDefaultReader<Uint8Array> | undefined,
  pause: () => Promise<void>,
): Promise<void> {
  let size = 0
  while (reader && size < MAX_DISCARDED) {
    await pause()
    const chunk = await readChunk(reader)
    if (chunk === null || chunk === 'broken') return
    size += chunk.byteLength
  }
  await reader?.cancel().catch(() => {})
}

/** The next chunk; null at the end. */
async function readChunk(
  reader: ReadableStreamDefaultReader<Uint8Array>,
): Promise<Uint8Array | null | 'broken'> {
  try {
    const { done, value } = await reader.read()
    return done ? null : value
  } catch {
    // A request's body fails only with its connection.
    return 'broken'
  }
}

/** Nobody reads it: the connection is gone. */
const BROKEN_OFF = problem(
  'broken-off',
  400,
  'Body broke off',
  'The connection ended before the body did. Nothing was stored.',
)

function describeTooLarge(maxBytes: number): Problem {
  const most = maxBytes < MIB ? `${maxBytes / 1024} KiB` : `${maxBytes / MIB} MiB`
  const advice = 'Send it in parts, or load the file with npm run load, which cuts it up.'
  return problem(
    'body-too-large',
    413,
    'Body too large',
    `It may have at most ${most}. Nothing was stored. ${maxBytes < MIB ? '' : advice}`.trimEnd(),
  )
}
const ALGORITHMS: Readonly<Record<string, string>> = { 'sha-256': 'sha256', 'sha-512': 'sha512' }

interface Digest {
  hash: Hash
  /** In base64. */
  expected: string
}

/**
 * Begins the digests that a Content-Digest (RFC 9530, a dictionary of digests as byte sequences) names; none if there is no
 * such header. Every digest has to be of a supported algorithm.
 */
function beginDigests(header: string | null): Digest[] | 'unreadable' {
  const digests = new Map<string, Digest>()
  for (const member of header?.split(',') ?? []) {
    const match = /^\s*([a-z0-9*_.-]+)=:([A-Za-z0-9+/]*={0,2}):\s*$/.exec(member)
    const algorithm = ALGORITHMS[match?.[1] ?? '']
    // A name comes once in a dictionary, and hundreds of digests would take long to compute.
    if (!match || !algorithm || digests.has(algorithm)) return 'unreadable'
    digests.set(algorithm, { hash: createHash(algorithm), expected: match[2] as string })
  }
  return [...digests.values()]
}

const UNREADABLE_DIGEST = describeDigest(
  'Content-Digest cannot be read. Send sha-256=:BASE64: or sha-512=:BASE64: of the body, each once.',
)
const OTHER_DIGEST = describeDigest('The body does not match its Content-Digest. Nothing was stored.')

function describeDigest(detail: string): Problem {
  return problem('content-digest', 400, 'Content-Digest does not match', detail)
}
