/** What the mail library throws where a mail was not taken. */
export interface SmtpError extends Error {
  /** The mail server's own words. */
  response?: string
  responseCode?: number
  /** The command that they answer. */
  command?: string
  code?: string
  /** The code of Node's TLS where the connection could not be made safe. */
  originalCode?: string
}

/** Codes of Node's TLS for a certificate that nobody who is trusted has signed. */
const UNKNOWN_ISSUER = new Set([
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_GET_ISSUER_CERT',
  'UNABLE_TO_GET_ISSUER_CERT_LOCALLY',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
])

/**
 * Why a mail server did not take a mail, for an administrator: its own words, or where no safe connection came about, what
 * is wrong with that and what would cure it.
 */
export function describeSmtpError(error: SmtpError, smtpUrl: string): string {
  const { message, response, code, originalCode = '', command } = error
  const { hostname } = new URL(smtpUrl)
  const unsafe = (why: string, cure: string) => `No mail went to ${hostname}: ${why} ${cure}`
  if (UNKNOWN_ISSUER.has(originalCode))
    return unsafe(
      `nobody who is trusted here has signed its certificate (${message}).`,
      'Have SMTP_CA name a file with the certificate of whoever signed it.',
    )
  if (originalCode === 'ERR_TLS_CERT_ALTNAME_INVALID')
    return unsafe(
      'its certificate is another server’s.',
      `Have SMTP_URL name it as its certificate does. ${message}`,
    )
  if (originalCode === 'CERT_HAS_EXPIRED' || originalCode === 'CERT_NOT_YET_VALID')
    return unsafe(
      `its certificate does not hold now (${message}).`,
      'Have it renewed, and see to the clocks.',
    )
  if (originalCode === 'ERR_SSL_WRONG_VERSION_NUMBER')
    return unsafe(
      'it speaks no TLS from the first word, as smtps:// and port 465 ask for.',
      'If it turns to TLS later, have SMTP_URL begin with smtp:// and name its port.',
    )
  if (code === 'ETLS' && command === 'STARTTLS')
    return unsafe(
      'it does not turn to TLS, and a password is sent in no other way.',
      `Have it offer STARTTLS, or take the password out of SMTP_URL. ${response ?? message}`,
    )
  if (code === 'ETIMEDOUT' && command === 'CONN' && response === undefined)
    return `${message}. If the server speaks TLS from the first word, have SMTP_URL begin with smtps://.`
  return response ?? message
}

/** A mail server as the mail library wants it said. */
export interface SmtpServer {
  host: string
  port: number
  secure: boolean
  requireTLS: boolean
  tls: { ca?: string }
  auth: { user: string; pass: string } | undefined
}

/**
 * The server of `smtps:` and of port 465 speaks TLS from the first word; others turn to it where offered, and must before
 * a password is sent. `trusted` (PEM) are the certificates that vouch for it; where absent those that Node trusts.
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
