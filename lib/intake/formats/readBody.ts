import { createHash } from 'node:crypto'
import { type Problem, problem } from './problem'

const MIB = 1024 * 1024
export const MAX_BODY_BYTES = 64 * MIB

/**
 * Reads a body as text. A problem if it is larger than `maxBytes`, does not match its Content-Digest, or is not
 * UTF-8.
 */
export async function readBody(request: Request, maxBytes = MAX_BODY_BYTES): Promise<string | Problem> {
  const chunks: Uint8Array[] = []
  let size = 0
  const reader = request.body?.getReader()
  while (reader) {
    const { done, value } = await reader.read()
    if (done) break
    size += value.byteLength
    if (size > maxBytes) {
      await reader.cancel()
      return problem(
        'body-too-large',
        413,
        'Body too large',
        `${maxBytes < MIB ? `It may have at most ${maxBytes / 1024} KiB.` : `It may have at most ${maxBytes / MIB} MiB; send it in parts.`} Nothing was stored.`,
      )
    }
    chunks.push(value)
  }
  const body = Buffer.concat(chunks)
  const mismatch = checkContentDigest(request.headers.get('content-digest'), body)
  if (mismatch) return mismatch
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(body)
  } catch {
    return problem(
      'not-utf-8',
      400,
      'Body is not UTF-8',
      'Save the file as UTF-8 and send it again. Nothing was stored.',
    )
  }
}

const ALGORITHMS: Readonly<Record<string, string>> = { 'sha-256': 'sha256', 'sha-512': 'sha512' }

/**
 * Checks a body against its Content-Digest (RFC 9530, a dictionary of digests as byte sequences). Every digest has to
 * be of a supported algorithm and to match. Null if all do, or if there is no such header.
 */
function checkContentDigest(header: string | null, body: Uint8Array): Problem | null {
  if (header === null) return null
  for (const member of header.split(',')) {
    const match = /^\s*([a-z0-9*_.-]+)=:([A-Za-z0-9+/]*={0,2}):\s*$/.exec(member)
    const algorithm = ALGORITHMS[match?.[1] ?? '']
    if (!match || !algorithm)
      return digestProblem(
        'Content-Digest cannot be read. Send sha-256=:BASE64: or sha-512=:BASE64: of the body.',
      )
    if (createHash(algorithm).update(body).digest('base64') !== match[2])
      return digestProblem('The body does not match its Content-Digest. Nothing was stored.')
  }
  return null
}

function digestProblem(detail: string): Problem {
  return problem('content-digest', 400, 'Content-Digest does not match', detail)
}
