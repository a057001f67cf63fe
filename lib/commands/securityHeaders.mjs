import { randomBytes } from 'node:crypto'

/**
 * Sets the security headers of every response: pages, data, files and refusals alike. This happens in the server in
 * front of Next, since a proxy file inside Next would sit between a body of events and its route, and would miss the
 * responses that never reach Next.
 *
 * Next reads the nonce from the policy on the request and puts it on each script and style it writes; so a policy that
 * came with the request is replaced.
 * @param {import('node:http').IncomingMessage} request
 * @param {import('node:http').ServerResponse} response
 * @param {boolean} isDev serves the sources as they change, for which Next evaluates code and writes inline styles
 */
export function setSecurityHeaders(request, response, isDev) {
  const isMail = request.url?.split('?')[0] === MAIL_PATH
  const policy = isMail ? MAIL_POLICY : contentPolicy(randomBytes(18).toString('base64'), isDev)
  request.headers['content-security-policy'] = policy
  delete request.headers['content-security-policy-report-only']
  response.setHeader('content-security-policy', policy)
  for (const [name, value] of HEADERS) response.setHeader(name, value)
  if (isMail) response.setHeader('x-frame-options', 'SAMEORIGIN')
  // Set by the proxy that terminates TLS; browsers ignore this header over plain HTTP.
  if (request.headers['x-forwarded-proto'] === 'https')
    response.setHeader('strict-transport-security', 'max-age=31536000')
}

const HEADERS = [
  // With `no-referrer` a form would send the origin "null" and be refused as cross-site.
  ['referrer-policy', 'same-origin'],
  ['x-content-type-options', 'nosniff'],
  ['x-frame-options', 'DENY'],
  ['cross-origin-opener-policy', 'same-origin'],
  ['cross-origin-resource-policy', 'same-origin'],
  [
    'permissions-policy',
    'camera=(), microphone=(), geolocation=(), payment=(), usb=(), serial=(), publickey-credentials-get=(self), publickey-credentials-create=(self)',
  ],
]

/** Shows a mail as it was sent, in a frame of one of our pages. */
const MAIL_PATH = '/api/digest/html'

/**
 * A mail has inline styles, since mail programs drop others. Its policy isolates it: it runs nothing, loads nothing,
 * has no origin, and its links open new pages.
 */
const MAIL_POLICY = [
  "default-src 'none'",
  "style-src 'unsafe-inline'",
  "form-action 'none'",
  "base-uri 'none'",
  "frame-ancestors 'self'",
  'sandbox allow-popups allow-popups-to-escape-sandbox',
].join('; ')

function contentPolicy(nonce, isDev) {
  return [
    "default-src 'none'",
    // A script with the nonce may load further scripts; no host is trusted by itself.
    `script-src 'nonce-${nonce}' 'strict-dynamic'${isDev ? " 'unsafe-eval'" : ''}`,
    isDev ? "style-src 'self' 'unsafe-inline'" : `style-src 'self' 'nonce-${nonce}'`,
    "img-src 'self'",
    "font-src 'self'",
    `connect-src 'self'${isDev ? ' ws:' : ''}`,
    "manifest-src 'self'",
    "worker-src 'self'",
    // Only a mail permits framing.
    "frame-src 'self'",
    "form-action 'self'",
    "base-uri 'none'",
    "object-src 'none'",
    "frame-ancestors 'none'",
  ].join('; ')
}
