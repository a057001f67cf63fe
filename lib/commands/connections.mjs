import { toClient } from './clientNetwork.mjs'

/** Headers are a few kilobytes; even the slowest line sends them at once. */
const HEADERS_TIMEOUT_MS = 15_000
/** The largest body (8 MiB) over a line of 256 kbit/s takes 262 s. */
const REQUEST_TIMEOUT_MS = 300_000
/** A body of which nothing arrives for this long has stalled. */
const STALL_TIMEOUT_MS = 20_000
/** A client that reads nothing of its answer for this long is gone, and no request computes for as long. */
const IDLE_TIMEOUT_MS = 330_000
/** Longer than a proxy keeps an unused connection (Caddy: 2 min): what it sends on one that ends meanwhile is lost. */
const KEEP_ALIVE_TIMEOUT_MS = 125_000
/** How often Node looks for what has timed out. */
const CHECK_INTERVAL_MS = 5_000
/** How long a refused request may still send, so that its sender reads the answer and not a broken connection, ms. */
const LINGER_MS = 1_000

/** An office behind one address, each browser with six connections. */
const MAX_CONNECTIONS_OF_ADDRESS = 256
const MAX_CONNECTIONS = 2_000
/** Handles that the database, files and the program itself need. */
const RESERVED_HANDLES = 150

/** Options for `createServer`. */
export const timeouts = {
  headersTimeout: HEADERS_TIMEOUT_MS,
  requestTimeout: REQUEST_TIMEOUT_MS,
  keepAliveTimeout: KEEP_ALIVE_TIMEOUT_MS,
  connectionsCheckingInterval: CHECK_INTERVAL_MS,
}

/**
 * Caps the connections of a server, in all and of one client, so that they never hold every file handle. The proxy in
 * front of the site is exempt from the second, since all people come through it.
 * @param {import('node:http').Server} server
 * @param {(address: string) => boolean} isOurProxy
 */
export function capConnections(server, isOurProxy) {
  const max = Math.min(MAX_CONNECTIONS, Math.max(64, countFileHandles() - RESERVED_HANDLES))
  const maxOfAddress = Math.min(MAX_CONNECTIONS_OF_ADDRESS, Math.floor(max / 2))
  const byClient = new Map()
  server.maxConnections = max
  server.on('connection', (socket) => {
    const { remoteAddress = '' } = socket
    if (isOurProxy(remoteAddress)) return
    const client = toClient(remoteAddress)
    const count = (byClient.get(client) ?? 0) + 1
    byClient.set(client, count)
    socket.once('close', () => {
      const left = byClient.get(client) - 1
      if (left > 0) byClient.set(client, left)
      else byClient.delete(client)
    })
    if (count > maxOfAddress) socket.destroy()
  })
}

/**
 * Ends connections on which nothing moves: a client that never reads its answer would hold one for ever.
 * @param {import('node:http').Server} server
 */
export function endStalled(server, idleMs = IDLE_TIMEOUT_MS) {
  server.setTimeout(idleMs)
}

/**
 * Closes the responses that wait behind another on a connection when that ends. Node closes only the one that it sends, so
 * whatever counts or holds something until a response closes would keep it for ever.
 * @param {import('node:http').Server} server
 */
export function closeWaiting(server) {
  const waiting = new WeakMap()
  server.on('connection', (socket) => {
    const responses = new Set()
    waiting.set(socket, responses)
    socket.once('close', () => {
      for (const response of responses) response.destroy().emit('close')
    })
  })
  server.on('request', (request, response) => {
    // One that has the connection is closed by Node.
    if (response.socket !== null) return
    const responses = waiting.get(request.socket)
    responses.add(response)
    response.once('socket', () => responses.delete(response))
  })
}

/**
 * Caps the requests of one client that are answered at the same time, since those through the proxy share its
 * connections. The request names its client by the header that `serve.mjs` sets.
 * @returns a test that counts a request, and answers it with 429 where its client has too many.
 */
export function capRequests() {
  const byClient = new Map()
  return (request, response) => {
    const client = request.headers['x-holdfast-client']
    const count = byClient.get(client) ?? 0
    if (count >= MAX_CONNECTIONS_OF_ADDRESS) {
      response.writeHead(429, { 'content-type': 'text/plain; charset=utf-8', 'retry-after': '5' })
      response.end(`Your address has ${count} requests open already. Let some end, then try again.\n`)
      return true
    }
    byClient.set(client, count + 1)
    response.once('close', () => {
      const left = byClient.get(client) - 1
      if (left > 0) byClient.set(client, left)
      else byClient.delete(client)
    })
    return false
  }
}

/**
 * Ends the connection of a request whose body stalls, or is not complete soon after the answer: a refused upload would
 * otherwise go on for as long as its sender likes. A body of which a part waits here to be read has not stalled.
 * @param {import('node:http').IncomingMessage} request
 * @param {import('node:http').ServerResponse} response
 */
export function endUnfinished(request, response, stallMs = STALL_TIMEOUT_MS) {
  const { socket, headers } = request
  if (headers['content-length'] === undefined && headers['transfer-encoding'] === undefined) return
  let bytesBefore = socket.bytesRead
  const watch = setInterval(() => {
    if (request.complete) clearInterval(watch)
    else if (socket.bytesRead === bytesBefore && request.readableLength === 0) refuseStalled(response)
    bytesBefore = socket.bytesRead
  }, stallMs)
  response.once('close', () => clearInterval(watch))
  response.once('finish', () => {
    if (request.complete) return
    // A small body is whole in a moment, and its connection then serves the next request.
    request.resume()
    setTimeout(() => request.complete || socket.destroy(), LINGER_MS).unref()
  })
}

function refuseStalled(response) {
  const { socket } = response
  if (response.headersSent) socket?.destroy()
  else {
    response.writeHead(408, { 'content-type': 'text/plain; charset=utf-8', connection: 'close' })
    response.end('The body of the request stopped half-way. Nothing was stored. Send it again.\n')
  }
}

/** How many files and connections this process may hold open. */
function countFileHandles() {
  process.report.excludeNetwork = true
  const { open_files: handles } = process.report.getReport().userLimits ?? {}
  return Number.isInteger(handles?.soft) ? handles.soft : Number.MAX_SAFE_INTEGER
}
