import { randomUUID } from 'node:crypto'
import type { IncomingMessage, ServerResponse } from 'node:http'
import { getLog } from './log'
import { matchRoute } from './matchRoute'
import { countRequest } from './metrics'
import { noteReader } from './readers'
import { getRecentRequests } from './recentRequests'
import { type RequestContext, runInRequest } from './requestContext'

/** A name that a proxy may give a request: short, and nothing that a log or a header could misread. */
const SAFE_ID = /^[\w.-]{8,64}$/
/** Asked every few seconds by whoever watches a server: logged only if they fail. */
const PROBES = ['/api/health', '/api/ready', '/api/metrics', 'static']

/**
 * Answers a request by `handle`, then counts and logs it: one line with route, status, duration and principal, and no
 * address, since an address can hold a secret. The response says X-Request-Id.
 * @param isTrusted whether X-Request-Id comes from our own proxy.
 */
export function observeRequest(
  request: IncomingMessage,
  response: ServerResponse,
  isTrusted: boolean,
  handle: () => void,
): void {
  const at = Date.now()
  const begun = performance.now()
  const given = request.headers['x-request-id']
  const id = isTrusted && typeof given === 'string' && SAFE_ID.test(given) ? given : randomUUID()
  const method = request.method ?? ''
  const route = matchRoute(request.url ?? '')
  const context: RequestContext = { id, principal: null, databaseFault: null, endTurn: null }
  response.setHeader('X-Request-Id', id)
  if (method === 'GET' || method === 'HEAD') noteReader(response)
  response.once('close', () => {
    const tookMs = performance.now() - begun
    const status = response.writableFinished ? response.statusCode : null
    countRequest(method, route, status, tookMs)
    getRecentRequests().add({ id, method, route, status, tookMs, at })
    if (PROBES.includes(route) && status !== null && status < 400) return
    const line = { method, route, status, ms: Math.round(tookMs) }
    runInRequest(context, () => {
      if ((status ?? 0) >= 500) getLog().error(line, `${method} ${route} failed with ${status}`)
      else getLog().info(line, `${method} ${route} ${status ?? 'was broken off'}`)
    })
  })
  runInRequest(context, handle)
}
