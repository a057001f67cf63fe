import { Readable } from 'node:stream'
import SMTPConnection from 'nodemailer/lib/smtp-connection'
import type { WireMail } from '../weekly/digestMail'
import { describeSmtpError, parseSmtpUrl, type SmtpError, type SmtpServer } from './smtp'

/** What a mail server said, or that it said nothing. */
export type HandoverReply =
  | { kind: 'taken'; said: string; isWritten?: boolean }
  /** It did not take it: for good where `isLasting`, and because of the address where `isAddress`. */
  | { kind: 'not taken'; said: string; isLasting: boolean; isAddress: boolean; isLineDown: boolean }
  /** It was given the whole mail, and nothing came back. */
  | { kind: 'no answer'; said: string }
  /** Another sender has the mail in hand. */
  | { kind: 'not ours' }

/** An open connection to a mail server, for one mail after another. */
export interface MailTransport {
  /**
   * Hands a mail over. Just before its last line, without which the server has no mail, `mayEnd` is asked; where that
   * answers false the line is cut instead.
   */
  handOver(mail: WireMail, mayEnd: () => Promise<boolean>): Promise<HandoverReply>
  close(): void
}

export interface SmtpTimeouts {
  /** To connect, and to be greeted, ms. */
  greetingMs: number
  /** For each answer, ms. RFC 5321 section 4.5.3.2.6 asks for ten minutes after the last line, because of repetitions. */
  answerMs: number
}

/** How patient a line is unless told. To connect: chosen, no source. */
export const DEFAULT_TIMEOUTS: SmtpTimeouts = { greetingMs: 30_000, answerMs: 600_000 }

/**
 * A line to the mail server of `smtpUrl`, for which the certificates `trusted` (PEM) vouch, or where absent those that Node
 * trusts. It connects with the first mail, and anew after it was cut.
 */
export function openSmtpTransport(
  smtpUrl: string,
  patience: SmtpTimeouts = DEFAULT_TIMEOUTS,
  trusted?: string,
): MailTransport {
  let open: SMTPConnection | null = null
  const cut = () => {
    open?.close()
    open = null
  }
  return {
    async handOver(mail, mayEnd) {
      const handing: Handover = { isFinalLineSent: false, isOurs: true }
      try {
        if (open) await reset(open).catch(cut)
        open ??= await connect(parseSmtpUrl(smtpUrl, trusted), patience)
        const said = await send(open, mail, mayEnd, handing)
        return { kind: 'taken', said }
      } catch (error) {
        cut()
        return toReply(error as SmtpError, handing, smtpUrl)
      }
    },
    close() {
      open?.quit()
      open = null
    },
  }
}

interface Handover {
  /** The last line was let go. */
  isFinalLineSent: boolean
  isOurs: boolean
}

function toReply(
  error: SmtpError,
  { isFinalLineSent: isEnding, isOurs }: Handover,
  smtpUrl: string,
): HandoverReply {
  if (!isOurs) return { kind: 'not ours' }
  const { responseCode: code, command = '' } = error
  const said = describeSmtpError(error, smtpUrl)
  if (isEnding && code === undefined) return { kind: 'no answer', said }
  const isLasting = code !== undefined && code >= 500
  return {
    kind: 'not taken',
    said,
    isLasting: isLasting && /^(RCPT|DATA)/.test(command),
    isAddress: isLasting && command.startsWith('RCPT'),
    isLineDown: code === undefined || !/^(RCPT|DATA)/.test(command),
  }
}

async function connect(
  { auth, ...server }: SmtpServer,
  { greetingMs, answerMs }: SmtpTimeouts,
): Promise<SMTPConnection> {
  const line = new SMTPConnection({
    ...server,
    connectionTimeout: greetingMs,
    greetingTimeout: greetingMs,
    socketTimeout: answerMs,
  })
  // What breaks between two steps is found by the next one.
  line.on('error', () => {})
  try {
    await awaitReply<void>(line, (done) => line.connect((error) => done(error ?? null)))
    if (auth)
      await awaitReply<void>(line, (done) =>
        line.login({ credentials: auth }, (error: Error | null | undefined) => done(error ?? null)),
      )
    return line
  } catch (error) {
    line.close()
    throw error
  }
}

function reset(line: SMTPConnection): Promise<void> {
  return awaitReply(line, (done) => line.reset((error: Error | null | undefined) => done(error ?? null)))
}

async function send(
  line: SMTPConnection,
  { from, to, message }: WireMail,
  mayEnd: () => Promise<boolean>,
  handing: Handover,
): Promise<string> {
  async function* whole() {
    yield message
    handing.isOurs = await mayEnd()
    if (!handing.isOurs) throw new Error('Another sender has this mail in hand.')
    handing.isFinalLineSent = true
  }
  return awaitReply<string>(line, (done) =>
    line.send({ from, to: [to] }, Readable.from(whole(), { objectMode: false }), (error, info) =>
      done(error ?? null, info?.response ?? ''),
    ),
  )
}

/** A step of the conversation, which also ends where the connection does. */
function awaitReply<T>(
  line: SMTPConnection,
  step: (done: (error: Error | null, value?: T) => void) => void,
): Promise<T> {
  return new Promise((resolve, reject) => {
    const onError = (error: Error) => settle(() => reject(error))
    const onEnd = () => settle(() => reject(new Error('The mail server ended the connection.')))
    const settle = (end: () => void) => {
      line.removeListener('error', onError)
      line.removeListener('end', onEnd)
      end()
    }
    line.once('error', onError)
    line.once('end', onEnd)
    step((error, value) => settle(() => (error ? reject(error) : resolve(value as T))))
  })
}
