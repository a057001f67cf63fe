import { request } from 'node:http'
import { connect } from 'node:net'

/** An answer as it came over the wire. */
export interface RawAnswer {
  status: number
  headers: Record<string, string | string[] | undefined>
  /** Header names and values in turn, none merged. */
  lines: string[]
  text: string
}

/** Asks with the path and the headers exactly as given; `fetch` would tidy up both. */
export function rawRequest(
  address: string,
  path: string,
  headers: Record<string, string> = {},
  method = 'GET',
  body = '',
): Promise<RawAnswer> {
  const { port } = new URL(address)
  return new Promise((resolve, reject) => {
    const asking = request({ host: '127.0.0.1', port, path, method, headers, agent: false }, (answer) => {
      let text = ''
      answer.setEncoding('utf8')
      answer.on('data', (part: string) => {
        text += part
      })
      answer.on('end', () =>
        resolve({ status: answer.statusCode ?? 0, headers: answer.headers, lines: answer.rawHeaders, text }),
      )
    })
    asking.on('error', reject)
    asking.end(body)
  })
}

/**
 * Begins to send a body of which `announced` bytes are to come, sends the first `sent` of them, and waits for an answer.
 * @returns its status; null where none came in 10 s, as from a server that waits for the rest.
 */
export function sendPart(
  address: string,
  path: string,
  headers: Record<string, string>,
  { announced, sent }: { announced: number | 'chunked'; sent: number },
): Promise<number | null> {
  const { host, port } = new URL(address)
  return new Promise((resolve, reject) => {
    const socket = connect({ host: '127.0.0.1', port: Number(port) })
    const finish = (status: number | null) => {
      clearTimeout(patience)
      socket.destroy()
      resolve(status)
    }
    const patience = setTimeout(() => finish(null), 10_000)
    socket.once('error', reject)
    socket.once('data', (data: Buffer) => finish(Number(/^HTTP\/1\.1 (\d{3})/.exec(String(data))?.[1])))
    const length = announced === 'chunked' ? 'Transfer-Encoding: chunked' : `Content-Length: ${announced}`
    const lines = Object.entries({ Host: host, ...headers }).map(([name, value]) => `${name}: ${value}`)
    socket.write(`POST ${path} HTTP/1.1\r\n${[...lines, length].join('\r\n')}\r\n\r\n`)
    const part = 'a'.repeat(sent)
    socket.write(announced === 'chunked' ? `${sent.toString(16)}\r\n${part}\r\n` : part)
  })
}
