import { Readable } from 'node:stream'
import { setImmediate } from 'node:timers/promises'
import SMTPConnection from 'nodemailer/lib/smtp-connection'
import type { WireMail } from '../weekly/digestMail'
import { describeSmtpError, parseSmtpUrl, type SmtpError, type SmtpServer } from './smtp'

/** The reply of a mail server to a mail. */
export type HandoverReply =
  | { kind: 'accepted'; said: string; isWritten?: boolean }
  /** Refused: for good if `isLasting`, because of the address if `isAddress`. */
  | { kind: 'refused'; said: string; isLasting: boolean; isAddress: boolean; isLineDown: boolean }
  /** The whole mail was sent, and no reply came. */
  | { kind: 'no reply'; said: string }
  /** Another sender is sending the mail. */
  | { kind: 'claimed elsewhere' }

/** An open connection to a mail server, for one mail after another. */
export interface MailTransport {
  /**
   * Hands a mail over. `mayEnd` is called before its last line, without which the server has no mail; if it returns false, the
   * connection is closed instead. Returns after `mayEnd` has, whatever happens to the connection meanwhile.
   * @throws what `mayEnd` throws; then the last line was not sent.
   */
  handOver(mail: WireMail, mayEnd: () => Promise<boolean>): Promise<HandoverReply>
  close(): void
}

export interface SmtpTimeouts {
  /** To connect, and to be greeted, ms. */
  greetingMs: number
  /** Maximum wait for each reply, ms. RFC 5321 section 4.5.3.2.6 asks for ten minutes after the last line, to avoid duplicates. */
  answerMs: number
}

/** The greeting timeout is chosen, no source. */
export const DEFAULT_TIMEOUTS: SmtpTimeouts = { greetingMs: 30_000, answerMs: 600_000 }

/**
 * A transport to the mail server of `smtpUrl`. `trusted` are CA certificates (PEM), by default those that Node trusts. It
 * connects with the first mail, and again after the connection was closed.
 */
export function openSmtpTransport(
  smtpUrl: string,
  timeouts: SmtpTimeouts = DEFAULT_TIMEOUTS,
  trusted?: string,
): MailTransport {
  let open: SMTPConnection | null = null
  const disconnect = () => {
    open?.close()
    open = null
  }
  return {
    async handOver(mail, mayEnd) {
      const handover: Handover = { isOver: false, isOurs: Promise.resolve(true), isFinalLineSent: false }
      try {
        if (open) await reset(open).catch(disconnect)
        open ??= await connect(parseSmtpUrl(smtpUrl, trusted), timeouts)
        const said = await send(open, mail, mayEnd, handover)
        if (!handover.isFinalLineSent)
          throw new Error('The mail server answered before it had the whole mail.')
        return { kind: 'accepted', said }
      } catch (error) {
        handover.isOver = true
        disconnect()
        if (!(await handover.isOurs)) return { kind: 'claimed elsewhere' }
        return toReply(error as SmtpError, handover.isFinalLineSent, smtpUrl)
      }
    },
    close() {
      open?.quit()
      open = null
    },
  }
}

interface Handover {
  /** The conversation has failed: the last line must not be sent any more. */
  isOver: boolean
  /** What `mayEnd` returns; true if it was not called. */
  isOurs: Promise<boolean>
  isFinalLineSent: boolean
}

function toReply(error: SmtpError, isFinalLineSent: boolean, smtpUrl: string): HandoverReply {
  const { responseCode: code, command = '' } = error
  const said = describeSmtpError(error, smtpUrl)
  if (isFinalLineSent && code === undefined) return { kind: 'no reply', said }
  const isLasting = code !== undefined && code >= 500
  return {
    kind: 'refused',
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
  const connection = new SMTPConnection({
    ...server,
    connectionTimeout: greetingMs,
    greetingTimeout: greetingMs,
    socketTimeout: answerMs,
  })
  // An error between two steps is found by the next step.
  connection.on('error', () => {})
  try {
    await awaitReply<void>(connection, (done) => connection.connect((error) => done(error ?? null)))
    if (auth)
      await awaitReply<void>(connection, (done) =>
        connection.login({ credentials: auth }, (error: Error | null | undefined) => done(error ?? null)),
      )
    return connection
  } catch (error) {
    connection.close()
    throw error
  }
}

function reset(connection: SMTPConnection): Promise<void> {
  return awaitReply(connection, (done) =>
    connection.reset((error: Error | null | undefined) => done(error ?? null)),
  )
}

async function send(
  connection: SMTPConnection,
  { from, to, message }: WireMail,
  mayEnd: () => Promise<boolean>,
  handover: Handover,
): Promise<string> {
  async function* whole() {
    yield message
    if (handover.isOver) return
    handover.isOurs = mayEnd()
    if (!(await handover.isOurs)) throw new Error('Another sender is sending this mail.')
    await readPendingInput()
    const socket = connection._socket
    if (handover.isOver || !socket || !socket.writable) throw new Error(CONNECTION_ENDED)
    handover.isFinalLineSent = true
  }
  return awaitReply<string>(connection, (done) =>
    connection.send({ from, to: [to] }, Readable.from(whole(), { objectMode: false }), (error, info) =>
      done(error ?? null, info?.response ?? ''),
    ),
  )
}

const CONNECTION_ENDED = 'The mail server ended the connection.'

/** Waits until Node has read what has arrived on its sockets: the first turn of its loop may have asked for it before. */
async function readPendingInput(): Promise<void> {
  await setImmediate()
  await setImmediate()
}

/** Runs a step of the conversation; rejects if the connection fails or ends. */
function awaitReply<T>(
  connection: SMTPConnection,
  step: (done: (error: Error | null, value?: T) => void) => void,
): Promise<T> {
  return new Promise((resolve, reject) => {
    const onError = (error: Error) => settle(() => reject(error))
    const onEnd = () => settle(() => reject(new Error(CONNECTION_ENDED)))
    const settle = (end: () => void) => {
      connection.removeListener('error', onError)
      connection.removeListener('end', onEnd)
      end()
    }
    connection.once('error', onError)
    connection.once('end', onEnd)
    step((error, value) => settle(() => (error ? reject(error) : resolve(value as T))))
  })
}
