import { createServer, type RequestListener, type Server } from 'node:http'
import { type AddressInfo, connect, type Socket } from 'node:net'
import { expect, test } from 'vitest'
import { atEndOfFile } from '../setup/endOfFile'

interface Module {
  closeWaiting(server: Server): void
  capRequests(): (...exchange: Parameters<RequestListener>) => boolean
  endStalled(server: Server, idleMs: number): void
  endUnfinished(...exchange: [...Parameters<RequestListener>, stallMs: number]): void
}
const { capRequests, closeWaiting, endStalled, endUnfinished }: Module = await import(
  new URL('../../lib/commands/connections.mjs', import.meta.url).href
)

/** A server on a free port of this machine. */
async function serve(answer: RequestListener, prepare: (server: Server) => void = () => {}): Promise<number> {
  const server = createServer(answer)
  prepare(server)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  atEndOfFile(() => {
    server.closeAllConnections()
    server.close()
  })
  return (server.address() as AddressInfo).port
}

/** Sends a request whose body never ends, as `client` names itself. */
function ask(port: number, client: string): { socket: Socket; answer: () => string } {
  const socket = connect(port, '127.0.0.1')
  let text = ''
  socket.on('error', () => {})
  socket.setEncoding('utf8').on('data', (part) => {
    text += part
  })
  socket.write(
    `POST / HTTP/1.1\r\nHost: x\r\nX-Holdfast-Client: ${client}\r\nTransfer-Encoding: chunked\r\n\r\n`,
  )
  return { socket, answer: () => text }
}

test('a client that never reads its answer loses its connection', async () => {
  const body = Buffer.alloc(64 * 1024 * 1024)
  const port = await serve(
    (_request, response) => response.end(body),
    (server) => endStalled(server, 300),
  )
  const socket = connect(port, '127.0.0.1').pause()
  const isClosed = new Promise<boolean>((resolve) => socket.once('close', () => resolve(true)))
  // The end of a connection is seen without reading only where something is written to it.
  socket.on('error', () => {})
  socket.write('GET / HTTP/1.1\r\nHost: x\r\n\r\n')
  const timer = setInterval(() => socket.write('\r\n'), 1_000)
  atEndOfFile(() => clearInterval(timer))
  expect(await isClosed).toBe(true)
}, 30_000)

test('a client that reads slowly keeps it', async () => {
  const body = Buffer.alloc(16 * 1024 * 1024)
  const port = await serve(
    (_request, response) => response.end(body),
    (server) => endStalled(server, 1_000),
  )
  const socket = connect(port, '127.0.0.1')
  let read = 0
  socket.on('data', (part) => {
    read += part.length
    socket.pause()
    setTimeout(() => socket.resume(), 5)
  })
  socket.write('GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n')
  await new Promise((resolve) => socket.once('close', resolve))
  expect(read).toBeGreaterThan(body.length)
}, 60_000)

test('one client has 256 requests at a time, whichever connections they come by, and another goes on', async () => {
  const isOverCap = capRequests()
  const port = await serve((request, response) => {
    // Held open, as while its body comes.
    if (!isOverCap(request, response)) response.flushHeaders()
  })
  const many = Array.from({ length: 257 }, () => ask(port, '203.0.113.9'))
  const statuses = () => many.map(({ answer }) => answer().slice(9, 12)).sort()
  await expect.poll(statuses).toEqual([...Array<string>(256).fill('200'), '429'])
  const other = ask(port, '198.51.100.1')
  await expect.poll(other.answer).toMatch(/^HTTP\/1\.1 200/)
  for (const { socket } of many) socket.destroy()
  await expect
    .poll(() => {
      const again = ask(port, '203.0.113.9')
      return new Promise((resolve) => again.socket.once('data', (data) => resolve(String(data).slice(9, 12))))
    })
    .toBe('200')
  for (const { socket } of [...many, other]) socket.destroy()
})

test('requests that wait behind another on their connection end with it', async () => {
  const isOverCap = capRequests()
  let began = 0
  const port = await serve((request, response) => {
    began += 1
    // The first is never answered, so that no answer behind it is sent.
    if (!isOverCap(request, response) && request.url === '/answered') response.end('answered')
  }, closeWaiting)
  const head = 'HTTP/1.1\r\nHost: x\r\nX-Holdfast-Client: 203.0.113.7\r\n\r\n'
  for (let round = 1; round <= 2; round++) {
    const socket = connect(port, '127.0.0.1').on('error', () => {})
    socket.write(`GET /never ${head}`.repeat(100) + `GET /answered ${head}`.repeat(100))
    await expect.poll(() => began).toBe(round * 200)
    socket.destroy()
  }
  const getStatus = () => {
    const again = connect(port, '127.0.0.1').on('error', () => {})
    again.write(`GET /answered ${head}`)
    return new Promise((resolve) =>
      again.once('data', (data) => {
        resolve(String(data).slice(9, 12))
        again.destroy()
      }),
    )
  }
  await expect.poll(getStatus).toBe('200')
})

test('a body that waits here to be read has not stalled, and one that its sender leaves has', async () => {
  const stallMs = 400
  const waiting: (() => void)[] = []
  const port = await serve((request, response) => {
    endUnfinished(request, response, stallMs)
    const read = () => request.resume().once('end', () => response.end('read'))
    if (request.url === '/waits') waiting.push(read)
    else read()
  })
  const send = (path: string) => {
    const socket = connect(port, '127.0.0.1')
    let text = ''
    socket.on('error', () => {})
    socket.setEncoding('utf8').on('data', (part) => {
      text += part
    })
    socket.write(`POST ${path} HTTP/1.1\r\nHost: x\r\nContent-Length: 500000\r\n\r\n`)
    return { socket, answer: () => text }
  }
  const patient = send('/waits')
  patient.socket.write('a'.repeat(500_000))
  // Several times as long as the other takes to be refused.
  for (let count = 0; count < 3; count++) {
    const left = send('/stalls')
    await expect.poll(left.answer, { timeout: 20_000 }).toMatch(/^HTTP\/1\.1 408/)
  }
  expect(patient.answer()).toBe('')
  for (const read of waiting) read()
  await expect.poll(patient.answer, { timeout: 20_000 }).toMatch(/^HTTP\/1\.1 200/)
  patient.socket.destroy()
})

test('a body that is refused before it is here leaves its connection to the next request', async () => {
  const port = await serve((request, response) => {
    endUnfinished(request, response, 20_000)
    response.end(request.url)
  })
  const socket = connect(port, '127.0.0.1')
  let text = ''
  socket.setEncoding('utf8').on('data', (part) => {
    text += part
  })
  socket.write('POST /first HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\n\r\n')
  await expect.poll(() => text).toContain('/first')
  socket.write('[]')
  socket.write('POST /second HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\n\r\n[]')
  await expect.poll(() => text).toContain('/second')
  socket.destroy()
})

test('an upload that goes on after its refusal loses its connection', async () => {
  const port = await serve((request, response) => {
    endUnfinished(request, response, 20_000)
    response.end('refused')
  })
  const socket = connect(port, '127.0.0.1')
  const isClosed = new Promise<boolean>((resolve) => socket.once('close', () => resolve(true)))
  socket.on('error', () => {})
  socket.resume().write('POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 500000\r\n\r\n')
  const timer = setInterval(() => socket.write('a'), 50)
  atEndOfFile(() => clearInterval(timer))
  expect(await isClosed).toBe(true)
}, 30_000)
