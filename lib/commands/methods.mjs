/** The methods that anything here supports; a route refuses the others of these itself. */
const METHODS = ['GET', 'HEAD', 'POST', 'PUT', 'OPTIONS']
const ALLOW = METHODS.join(', ')

const STATUSES = {
  HPE_INVALID_METHOD: '405 Method Not Allowed',
  HPE_HEADER_OVERFLOW: '431 Request Header Fields Too Large',
  HPE_CHUNK_EXTENSIONS_OVERFLOW: '413 Payload Too Large',
  ERR_HTTP_REQUEST_TIMEOUT: '408 Request Timeout',
}

/**
 * Answers CONNECT, and what Node cannot parse, on the bare connection.
 * @param {import('node:http').Server} server
 */
export function refuseUnparsed(server) {
  server.on('connect', (_request, socket) => endWith(socket, STATUSES.HPE_INVALID_METHOD))
  server.on('clientError', (error, socket) => endWith(socket, STATUSES[error.code] ?? '400 Bad Request'))
}

function endWith(socket, status) {
  // An answer that has begun cannot be taken back.
  if (!socket.writable || socket._httpMessage?.headersSent) {
    socket.destroy()
    return
  }
  const allow = status.startsWith('405') ? `Allow: ${ALLOW}\r\n` : ''
  socket.end(`HTTP/1.1 ${status}\r\n${allow}Connection: close\r\nContent-Length: 0\r\n\r\n`)
  setTimeout(() => socket.destroy(), 1_000).unref()
}

/** Answers a method that nothing here supports. Returns whether it did. */
export function refuseMethod(request, response) {
  if (METHODS.includes(request.method)) return false
  response.writeHead(405, { allow: ALLOW, 'content-type': 'text/plain; charset=utf-8' })
  response.end(`${request.method} is not supported here. Use ${ALLOW}.\n`)
  return true
}
