import { createHash } from 'node:crypto'
import { type Problem, problem } from './problem'

/** The largest body that is taken, in bytes: 64 MiB. */
export const MAX_BODY_BYTES = 64 * 1024 * 1024

/**
 * The body of a request as text, or the problem that keeps it from being read: larger than `most` bytes, not as its
 * Content-Digest says, or not UTF-8.
 */
export async function readBody(request: Request, most = MAX_BODY_BYTES): Promise<string | Problem> {
  const chunks: Uint8Array[] = []
  let size = 0
  const reader = request.body?.getReader()
  while (reader) {
    const { done, value } = await reader.read()
    if (done) break
    size += value.byteLength
    if (size > most) {
      await reader.cancel()
      return problem(
        'body-too-large',
        413,
        'Body too large',
        `The most is ${most < 1024 * 1024 ? `${most / 1024} KiB` : `${most / 1024 / 1024} MiB; send it in parts`}. Nothing of it was kept.`,
      )
    }
    chunks.push(value)
  }
  const body = Buffer.concat(chunks)
  const misfit = checkContentDigest(request.headers.get('content-digest'), body)
  if (misfit) return misfit
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(body)
  } catch {
    return problem(
      'not-utf-8',
      400,
      'Body is not UTF-8',
      'Save the file as UTF-8 and send it again. Nothing of it was kept.',
    )
  }
}

const ALGORITHMS: Readonly<Record<string, string>> = { 'sha-256': 'sha256', 'sha-512': 'sha512' }

/**
 * What is wrong with a body by its Content-Digest (RFC 9530, a dictionary of digests as byte sequences); null where
 * there is no such header, or the body has every digest in it. Every digest has to be one that can be checked.
 */
function checkContentDigest(header: string | null, body: Uint8Array): Problem | null {
  if (header === null) return null
  for (const member of header.split(',')) {
    const match = /^\s*([a-z0-9*_.-]+)=:([A-Za-z0-9+/]*={0,2}):\s*$/.exec(member)
    const algorithm = ALGORITHMS[match?.[1] ?? '']
    if (!match || !algorithm)
      return digestProblem(
        'Content-Digest cannot be read. Write sha-256=:BASE64: or sha-512=:BASE64: of the body.',
      )
    if (createHash(algorithm).update(body).digest('base64') !== match[2])
      return digestProblem(
        'The body is not the one that its Content-Digest was made of. Nothing of it was kept.',
      )
  }
  return null
}

function digestProblem(detail: string): Problem {
  return problem('content-digest', 400, 'Content-Digest does not fit', detail)
}
