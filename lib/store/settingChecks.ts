import { X509Certificate } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { isIP } from 'node:net'

/** Whether a text is the URL of a PostgreSQL database. */
export function isPostgresUrl(text: string): boolean {
  try {
    const { protocol, pathname } = new URL(text)
    return /^postgres(ql)?:$/.test(protocol) && pathname.length > 1
  } catch {
    return false
  }
}

/** Whether a text is the URL of a site, without a path. */
export function isSiteAddress(text: string): boolean {
  try {
    const { protocol, pathname, search, hash, username } = new URL(text)
    return /^https?:$/.test(protocol) && pathname === '/' && `${search}${hash}${username}` === ''
  } catch {
    return false
  }
}

/** Whether a text is a list of network addresses and networks (CIDR), with commas between. */
export function isNetworkList(text: string): boolean {
  return text.split(',').every((one) => {
    const [, address = '', bits] = /^([^/]+)(?:\/(\d{1,3}))?$/.exec(one.trim()) ?? []
    const family = isIP(address)
    return family !== 0 && (bits === undefined || Number(bits) <= (family === 4 ? 32 : 128))
  })
}

/** Whether a text is the URL of a mail server. */
export function isMailServer(text: string): boolean {
  try {
    const { protocol, hostname } = new URL(text)
    return /^smtps?:$/.test(protocol) && hostname !== ''
  } catch {
    return false
  }
}

/** Whether a text is an address of mail, alone or after a name. */
export function isMailAddress(text: string): boolean {
  return /^([^<>\r\n]*<)?[^\s<>@]+@[^\s<>@]+>?$/.test(text)
}

const BLOCK = /-----BEGIN CERTIFICATE-----[^-]+-----END CERTIFICATE-----/g

/** The certificates of a file, as PEM; null if it cannot be read, holds none, or holds a damaged one. */
export function readCertificates(path: string): string | null {
  try {
    const blocks = readFileSync(path, 'utf8').match(BLOCK) ?? []
    for (const block of blocks) new X509Certificate(block)
    return blocks.length === 0 ? null : blocks.join('\n')
  } catch {
    return null
  }
}
