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
export function smtpServerOf(smtpUrl: string, trusted?: string): SmtpServer {
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
