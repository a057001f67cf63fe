import { english } from '@/lib/messages/english'

/** What nodemailer throws when a mail was not accepted. */
export interface SmtpError extends Error {
  /** The mail server's own words. */
  response?: string
  responseCode?: number
  /** The command that was answered. */
  command?: string
  code?: string
  /** The system call that failed. */
  syscall?: string
  /** The code of Node's TLS, if there was no secure connection. */
  originalCode?: string
}

/** Codes of Node's TLS for a certificate whose issuer is not trusted. */
const UNKNOWN_ISSUER = new Set([
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_GET_ISSUER_CERT',
  'UNABLE_TO_GET_ISSUER_CERT_LOCALLY',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
])

/**
 * Why a mail server did not accept a mail, for an administrator: its own words, or if there was no secure connection what is
 * wrong and what cures it. In English, since it is stored and logged.
 */
export function describeSmtpError(error: SmtpError, smtpUrl: string): string {
  const { message, response, code, originalCode = '', command, syscall } = error
  const { hostname: host, host: hostAndPort } = new URL(smtpUrl)
  if (UNKNOWN_ISSUER.has(originalCode)) return english('smtp.unknownIssuer', { host, message })
  if (originalCode === 'ERR_TLS_CERT_ALTNAME_INVALID') return english('smtp.otherHost', { host, message })
  if (originalCode === 'CERT_HAS_EXPIRED' || originalCode === 'CERT_NOT_YET_VALID')
    return english('smtp.expired', { host, message })
  if (originalCode === 'ERR_SSL_WRONG_VERSION_NUMBER') return english('smtp.noImplicitTls', { host })
  if (code === 'ETLS' && command === 'STARTTLS')
    return english('smtp.noStartTls', { host, message: response ?? message })
  if (code === 'ETIMEDOUT' && command === 'CONN' && response === undefined)
    return english('smtp.timeout', { message })
  if (syscall === 'connect' || code === 'EDNS')
    return english('smtp.unreachable', { host: hostAndPort, message })
  return response ?? message
}

/** A mail server, as nodemailer takes it. */
export interface SmtpServer {
  host: string
  port: number
  secure: boolean
  requireTLS: boolean
  tls: { ca?: string }
  auth: { user: string; pass: string } | undefined
}

/**
 * `smtps:` and port 465 mean TLS from the first word. Other servers are asked for STARTTLS, which they must offer before a
 * password is sent. `trusted` are CA certificates (PEM), by default those that Node trusts.
 */
export function parseSmtpUrl(smtpUrl: string, trusted?: string): SmtpServer {
  const url = new URL(smtpUrl)
  const port = Number(url.port) || (url.protocol === 'smtps:' ? 465 : 587)
  const [user, pass] = [decodeURIComponent(url.username), decodeURIComponent(url.password)]
  return {
    host: url.hostname.replace(/^\[|\]$/g, ''),
    port,
    secure: port === 465 || url.protocol === 'smtps:',
    requireTLS: user !== '',
    tls: trusted === undefined ? {} : { ca: trusted },
    auth: user === '' ? undefined : { user, pass },
  }
}
