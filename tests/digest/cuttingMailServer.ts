import { type AddressInfo, createServer, type Socket } from 'node:net'

/** The moments at which a mail server can break off, in the order of a conversation. */
export const CUTS = [
  'before the greeting',
  'after EHLO',
  'after MAIL',
  'after RCPT',
  'after DATA',
  'after 354',
  'in the text',
  'before the last line',
  'after the last line',
  'after the answer',
] as const
export type Cut = (typeof CUTS)[number]

/** What became of a mail whose text began to arrive. */
export interface RecordedMail {
  to: string
  /** Its last line arrived. */
  isWhole: boolean
  /** Its last line arrived after the server had hung up. */
  isLate: boolean
  /** The server answered that it has the mail. */
  isAnswered: boolean
}

export interface CuttingMailServer {
  url: string
  mails: RecordedMail[]
  /** Connections that the server cut and the client has left too. */
  left: number
  close(): Promise<void>
}

const LAST_LINE = '\r\n.\r\n'

/**
 * A mail server on a socket, which hangs up wherever `shouldCut` says, and keeps its own record. It goes on reading after it has
 * hung up, so that the record tells which last lines came too late.
 */
export async function startCuttingMailServer(
  shouldCut: (reached: Cut) => boolean,
): Promise<CuttingMailServer> {
  const sockets = new Set<Socket>()
  const server = createServer({ allowHalfOpen: true }, (socket) => {
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    socket.on('error', () => {})
    converse(socket)
  })
  const state: CuttingMailServer = {
    url: '',
    mails: [],
    left: 0,
    close: async () => {
      for (const socket of sockets) socket.destroy()
      await new Promise<void>((resolve) => server.close(() => resolve()))
    },
  }

  function converse(socket: Socket) {
    let [received, to, isCut] = ['', '', false]
    let mail: RecordedMail | null = null
    /** Answers, unless the server hangs up here. */
    const reach = (moment: Cut, answer?: string) => {
      if (isCut) return
      isCut = shouldCut(moment)
      if (isCut) socket.end()
      else if (answer) socket.write(`${answer}\r\n`)
    }
    const takeText = (one: RecordedMail) => {
      const end = received.indexOf(LAST_LINE)
      if (end < 0) {
        if (received.length > 0) reach('in the text')
        // A text of several parts ends with a line of its boundary and two more hyphens.
        if (/--\r\n$/.test(received)) reach('before the last line')
        return false
      }
      received = received.slice(end + LAST_LINE.length)
      Object.assign(one, { isWhole: !isCut, isLate: isCut })
      mail = null
      reach('after the last line')
      if (isCut) return true
      one.isAnswered = true
      socket.write('250 taken\r\n')
      reach('after the answer')
      return true
    }
    const takeCommand = () => {
      const end = received.indexOf('\r\n')
      if (end < 0) return false
      const line = received.slice(0, end)
      received = received.slice(end + 2)
      const word = line.slice(0, 4).toUpperCase()
      if (word === 'EHLO') reach('after EHLO', '250 here')
      else if (word === 'MAIL') reach('after MAIL', '250 sender')
      else if (word === 'RCPT') {
        to = /<([^>]*)>/.exec(line)?.[1] ?? ''
        reach('after RCPT', '250 reader')
      } else if (word === 'DATA') {
        reach('after DATA', '354 begin')
        mail = { to, isWhole: false, isLate: false, isAnswered: false }
        state.mails.push(mail)
        reach('after 354')
      } else if (word === 'QUIT') socket.end('221 bye\r\n')
      else if (!isCut) socket.write('250 done\r\n')
      return true
    }
    socket.on('data', (bytes) => {
      received += bytes.toString('latin1')
      while (mail ? takeText(mail) : takeCommand());
    })
    socket.on('end', () => {
      if (isCut) state.left += 1
      socket.end()
    })
    reach('before the greeting', '220 here')
  }

  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()))
  state.url = `smtp://127.0.0.1:${(server.address() as AddressInfo).port}`
  return state
}
