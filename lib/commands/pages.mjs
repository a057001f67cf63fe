import { readdirSync } from 'node:fs'

const files = new Set([
  '/favicon.ico',
  ...readdirSync('public', { recursive: true }).map((name) => `/${name}`),
])

/** Whether a path is that of a page, or of none: not data, a form, or a static file. */
export function isPage(url, isDev) {
  const path = url.split('?')[0]
  return (
    !path.startsWith('/api/') && !path.startsWith(isDev ? '/_next/' : '/_next/static/') && !files.has(path)
  )
}

/**
 * Serves a page within its limits. `app/front.ts` says how: it counts the request, and has the words for a page that is
 * refused, or whose data cannot be read now. Next has no way to answer such a page with a status of 503.
 */
export async function servePage(request, response, handle) {
  const front = globalThis.holdfastFront
  if (front)
    replaceFailure(request, response, (fault) => front.renderUnavailable(request.headers, request.url, fault))
  try {
    const refusal = await front?.judgePage(request.headers, request.url)
    if (refusal) await send(refusal, response)
    else return handle(request, response)
  } catch (error) {
    console.error(error)
    response.writeHead(500, { 'content-type': 'text/plain; charset=utf-8' })
    response.end('The server failed; its log has the details.\n')
  }
}

/**
 * Sends a page of ours in place of Next's own for a failure, if `instrumentation.ts` noted it as one of the database. A
 * part of a page, which scripts ask for, keeps Next's answer with our status: the browser then opens the page itself.
 */
function replaceFailure(request, response, render) {
  const { writeHead, write, end } = response
  const context = globalThis.holdfastRequest?.getStore()
  const isPart = request.headers.rsc !== undefined
  const isFailure = () =>
    !response.headersSent && response.statusCode === 500 && (context?.databaseFault ?? null) !== null
  response.writeHead = (status, ...rest) => {
    response.statusCode = status
    if (!isFailure()) return writeHead.call(response, status, ...rest)
    return isPart ? writeHead.call(response, 503, ...rest) : response
  }
  if (isPart) return
  response.write = (...args) => (isFailure() ? true : write.apply(response, args))
  response.end = (...args) => {
    if (!isFailure()) return end.apply(response, args)
    Object.assign(response, { writeHead, write, end })
    for (const name of ['content-encoding', 'content-length', 'transfer-encoding', 'etag'])
      response.removeHeader(name)
    send(render(context.databaseFault), response).catch((error) => response.destroy(error))
    return response
  }
}

/** @param {Response} page */
async function send(page, response) {
  response.writeHead(page.status, [...page.headers].flat())
  response.end(await page.text())
}
