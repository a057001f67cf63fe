import { createHash } from 'node:crypto'
import { type Problem, problem } from './problem'

const ALGORITHMS: Readonly<Record<string, string>> = { 'sha-256': 'sha256', 'sha-512': 'sha512' }

/**
 * What is wrong with a body by its Content-Digest (RFC 9530, a dictionary of digests as byte sequences); null where
 * there is no such header, or the body has every digest in it. Every digest has to be one that can be checked.
 */
export function contentDigestProblem(header: string | null, body: Uint8Array): Problem | null {
  if (header === null) return null
  for (const member of header.split(',')) {
    const match = /^\s*([a-z0-9*_.-]+)=:([A-Za-z0-9+/]*={0,2}):\s*$/.exec(member)
    const algorithm = ALGORITHMS[match?.[1] ?? '']
    if (!match || !algorithm)
      return refused('Content-Digest cannot be read. Write sha-256=:BASE64: or sha-512=:BASE64: of the body.')
    if (createHash(algorithm).update(body).digest('base64') !== match[2])
      return refused('The body is not the one that its Content-Digest was made of. Nothing of it was kept.')
  }
  return null
}

function refused(detail: string): Problem {
  return problem('content-digest', 400, 'Content-Digest does not fit', detail)
}
