// The web server: a child of the launcher, which tells it over IPC when to stop. It exits when the channel closes, so a
// killed launcher leaves no web server behind.
import { createServer } from 'node:http'
import { connect } from 'node:net'
import { setTimeout as wait } from 'node:timers/promises'
import next from 'next'
import { dropPort, toClient } from './clientNetwork.mjs'
import {
  capConnections,
  capRequests,
  closeWaiting,
  endStalled,
  endUnfinished,
  timeouts,
} from './connections.mjs'
import { refuseMethod, refuseUnparsed } from './methods.mjs'
import { isPage, servePage } from './pages.mjs'
import { setSecurityHeaders } from './securityHeaders.mjs'
import { createProxyCheck } from './trustedProxy.mjs'

const [firstPort, isDev] = [Number(process.argv[2]), process.argv[3] === 'dev']
/** `any`: the first port or the next free one; `own`: this one only; `handed`: the socket that the launcher hands over. */
const portRule = process.argv[4]
// This machine only, unless the environment sets an address, and with it the site's URL.
const hostname = process.env.HOLDFAST_HOST || '127.0.0.1'
const siteHost = process.env.HOLDFAST_URL ? new URL(process.env.HOLDFAST_URL).host : null
const isOurProxy = createProxyCheck(siteHost, process.env.HOLDFAST_PROXY)
const portsTried = 100
/** After that a build that brings no limits serves without, ms. */
const FRONT_TIMEOUT_MS = 30_000

let handle = (_request, response) => response.writeHead(503).end()
let upgrade = (_request, socket) => socket.destroy()
/** Answers that are not complete. */
const pending = new Set()
let isStopping = false
const server = createServer(timeouts, (request, response) => {
  pending.add(response)
  response.once('close', () => pending.delete(response))
  if (isStopping) response.setHeader('connection', 'close')
  endUnfinished(request, response)
  // The build brings it (instrumentation.ts): it names, counts and logs the request.
  const { holdfastObserve: observe } = globalThis
  if (observe)
    observe(request, response, isOurProxy(request.socket.remoteAddress ?? ''), () =>
      answer(request, response),
    )
  else answer(request, response)
})
capConnections(server, isOurProxy)
closeWaiting(server)
endStalled(server)
const isOverCap = capRequests()
refuseUnparsed(server)
// Only pages that reload with the sources speak WebSocket. Without a listener an Upgrade is ignored, as RFC 9110 allows:
// some clients offer HTTP/2 with each request. Next would leave such a connection open for ever.
if (isDev)
  server.on('upgrade', (request, socket, head) =>
    isForUs(request) ? upgrade(request, socket, head) : socket.destroy(),
  )

process.on('disconnect', stop)
// The launcher may have gone before the listener above was set.
if (process.connected === false) process.exit(0)
process.on('message', obey)
process.on('SIGTERM', stop)
// Ctrl-C in a terminal reaches the launcher too, which then tells us to stop.
process.on('SIGINT', () => {})

const port = portRule === 'handed' ? firstPort : await listen(firstPort)
process.env.HOLDFAST_URL ||= `http://localhost:${port}`
// Next tells on the console how it starts, before the log is open; a line of text would break a log of JSON.
if (process.env.HOLDFAST_LOG === 'json' && !isDev) console.log = () => {}
// Next listens for upgrades on the server it is given.
const httpServer = isDev ? server : createServer()
const app = next({ dev: isDev, dir: process.cwd(), hostname, port, httpServer })
await app.prepare()
// Next does not wait for instrumentation.ts, which brings the limits and the names of requests: none is answered without.
if (!isDev) await waitForFront()
handle = app.getRequestHandler()
upgrade = app.getUpgradeHandler()
if (portRule === 'handed') {
  process.send?.('prepared')
  // Not `once` of node:events, which throws what `listen` tells the launcher.
  await new Promise((resolve) => server.once('listening', resolve))
}
process.send?.({ port })

async function waitForFront() {
  const endAt = performance.now() + FRONT_TIMEOUT_MS
  while (!globalThis.holdfastFront && performance.now() < endAt) await wait(5)
}

function answer(request, response) {
  setSecurityHeaders(request, response, isDev)
  if (refuseMethod(request, response)) return
  if (!isForUs(request)) {
    response.writeHead(421, { 'content-type': 'text/plain; charset=utf-8' })
    response.end(`This server answers only as ${siteHost ? `${siteHost}, ` : ''}localhost or 127.0.0.1.\n`)
    return
  }
  if (!isReadable(request.url)) {
    response.writeHead(400, { 'content-type': 'text/plain; charset=utf-8' })
    response.end('This URL is malformed: it must be a path, percent-encoded in UTF-8.\n')
    return
  }
  note(request)
  if (isOverCap(request, response)) return
  const { holdfastFront: front } = globalThis
  const serve = () =>
    isPage(request.url, isDev) ? servePage(request, response, handle) : handle(request, response)
  // Before the build is loaded, `handle` answers that nothing is served.
  if (front) front.answerInTurn(request, response, serve).catch((error) => response.destroy(error))
  else serve()
}

/** Prevents DNS rebinding: a foreign page may point its own name at 127.0.0.1, but its Host header gives it away. */
function isForUs(request) {
  const { host = '', origin } = request.headers
  const isLocal = (address) =>
    (siteHost !== null && address === siteHost) || /^(localhost|127\.0\.0\.1|\[::1\])(:\d+)?$/.test(address)
  if (!isLocal(host)) return false
  const isReading = request.method === 'GET' || request.method === 'HEAD'
  return isReading || !origin || isLocal(origin.replace(/^https?:\/\//, ''))
}

/**
 * Next reports a URL that cannot be decoded as an internal error, and reads an absolute URL as a path. PostgreSQL
 * cannot store U+0000.
 */
function isReadable(address) {
  if (!address.startsWith('/') || /%00/.test(address)) return false
  try {
    decodeURIComponent(address.split('?')[0])
    return true
  } catch {
    return false
  }
}

/**
 * Passes the client's address, which our proxy names in X-Forwarded-For, how limits count it, and the request's path to
 * the pages, in headers that clients cannot set.
 */
function note(request) {
  const { remoteAddress = '' } = request.socket
  const forwarded = isOurProxy(remoteAddress)
    ? dropPort(
        String(request.headers['x-forwarded-for'] ?? '')
          .split(',')
          .at(-1)
          .trim(),
      )
    : ''
  const address = (forwarded || remoteAddress).replace(/^::ffff:/, '')
  request.headers['x-holdfast-source'] = address
  request.headers['x-holdfast-client'] = toClient(address)
  request.headers['x-holdfast-path'] = request.url ?? ''
}

/** One web server hands its socket to the next by way of the launcher, so that no connection is refused between them. */
function obey(message, handle) {
  if (message === 'stop') stop()
  else if (message === 'hand over') process.send('listen', server)
  else if (message === 'connection') server.emit('connection', handle)
  else if (message === 'listen' && handle) server.listen(handle)
  else if (message === 'listen') listen(firstPort)
}

async function listen(first) {
  const end = portRule === 'any' ? Math.min(first + portsTried, 65_536) : first + 1
  for (let port = first; port < end; port++) {
    if (await isTakenOnIpv6(port)) continue
    const error = await new Promise((resolve) => {
      server.once('error', resolve)
      server.listen(port, hostname, () => {
        server.removeListener('error', resolve)
        resolve(undefined)
      })
    })
    if (!error) return port
    if (error.code !== 'EADDRINUSE' && error.code !== 'EACCES') throw error
  }
  const fault =
    portRule === 'any'
      ? `No free port from ${first} on. Set PORT to another number.`
      : `Another program has taken port ${first}; Holdfast waits until it is free.`
  await new Promise((resolve) => (process.send ? process.send({ fault }, resolve) : resolve()))
  process.exit(1)
}

/** A browser resolves `localhost` to ::1 first, and would reach another program that listens only there. */
function isTakenOnIpv6(port) {
  return new Promise((resolve) => {
    const probe = connect({ port, host: '::1' })
    const answer = (isTaken) => {
      probe.destroy()
      resolve(isTaken)
    }
    probe.once('connect', () => answer(true))
    probe.once('error', () => answer(false))
  })
}

async function stop() {
  if (isStopping) return
  isStopping = true
  setTimeout(() => server.closeAllConnections(), 3_000)
  setTimeout(() => process.exit(0), 3_500)
  server.closeIdleConnections()
  // A client that keeps its connection is told to make another, or its next request would be cut off.
  for (const response of pending) if (!response.headersSent) response.setHeader('connection', 'close')
  await new Promise((resolve) => server.close(resolve))
  process.exit(0)
}
