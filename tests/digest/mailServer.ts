import type { AddressInfo } from 'node:net'
import { type ParsedMail, simpleParser } from 'mailparser'
import { SMTPServer, type SMTPServerOptions } from 'smtp-server'
import { atEndOfFile } from '@/tests/setup/endOfFile'

/** A real mail server on its own port, and the mails that it accepted, in order. It closes with the test file at the latest. */
export interface MailServer {
  url: string
  taken: string[]
  read(): Promise<ParsedMail[]>
  close(): Promise<void>
}

/** How the server replies to a whole mail. */
export type AnswerMail = (
  text: string,
  count: number,
) => Promise<{ isTaken: boolean; code?: number; hangsUp?: boolean }>

export async function startMailServer(
  atTheEnd: AnswerMail = async () => ({ isTaken: true }),
  options: SMTPServerOptions = {},
): Promise<MailServer> {
  const taken: string[] = []
  let count = 0
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onData(stream, session, done) {
      let text = ''
      stream.on('data', (part) => {
        text += part
      })
      stream.on('end', async () => {
        count += 1
        const { isTaken, code, hangsUp } = await atTheEnd(text, count)
        if (isTaken) taken.push(text)
        if (hangsUp) {
          for (const one of server.connections as Iterable<{ id: string; close(): void }>)
            if (one.id === session.id) one.close()
          return
        }
        done(code ? Object.assign(new Error('As the test wants it'), { responseCode: code }) : null)
      })
    },
    ...options,
  })
  // Clients break off on purpose in some tests.
  server.on('error', () => {})
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()))
  const { port } = server.server.address() as AddressInfo
  let closed: Promise<void> | undefined
  const close = () => {
    closed ??= new Promise<void>((resolve) => server.close(() => resolve()))
    return closed
  }
  atEndOfFile(close)
  return {
    url: `smtp://127.0.0.1:${port}`,
    taken,
    read: () => Promise.all(taken.map((text) => simpleParser(text))),
    close,
  }
}
