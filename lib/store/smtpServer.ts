/** A mail server as the mail library wants it said. */
export interface SmtpServer {
  host: string
  port: number
  secure: boolean
  requireTLS: boolean
  auth: { user: string; pass: string } | undefined
}

/** Port 465 speaks TLS from the first word; others turn to it where offered, and must before a password is sent. */
export function smtpServerOf(smtpUrl: string): SmtpServer {
  const url = new URL(smtpUrl)
  const port = Number(url.port) || (url.protocol === 'smtps:' ? 465 : 587)
  const [user, pass] = [decodeURIComponent(url.username), decodeURIComponent(url.password)]
  return {
    host: url.hostname.replace(/^\[|\]$/g, ''),
    port,
    secure: port === 465 || url.protocol === 'smtps:',
    requireTLS: user !== '',
    auth: user === '' ? undefined : { user, pass },
  }
}
