import { X509Certificate } from 'node:crypto'
import { readFileSync } from 'node:fs'

const BLOCK = /-----BEGIN CERTIFICATE-----[^-]+-----END CERTIFICATE-----/g

/** The certificates of a file, as PEM; null where it cannot be read, holds none, or one that is damaged. */
export function readCertificates(path: string): string | null {
  try {
    const blocks = readFileSync(path, 'utf8').match(BLOCK) ?? []
    for (const block of blocks) new X509Certificate(block)
    return blocks.length === 0 ? null : blocks.join('\n')
  } catch {
    return null
  }
}
