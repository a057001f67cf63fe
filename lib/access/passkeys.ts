import { auth } from './auth'

/** The steps of enrolling a passkey and of signing in with one, and the sign-in library's own names of them. */
const STEPS: Record<string, { method: string; path: string }> = {
  'enrol-begin': { method: 'GET', path: 'generate-register-options' },
  'enrol-end': { method: 'POST', path: 'verify-registration' },
  'use-begin': { method: 'GET', path: 'generate-authenticate-options' },
  'use-end': { method: 'POST', path: 'verify-authentication' },
}

/**
 * Has the library answer one step; null for what is none. Everything else that the library could answer has no
 * address here.
 */
export async function passkeyStep(step: string, request: Request): Promise<Response | null> {
  const found = Object.hasOwn(STEPS, step) ? STEPS[step] : undefined
  if (!found || found.method !== request.method) return null
  const { handler, options } = auth()
  const address = new URL(`/api/auth/passkey/${found.path}`, options.baseURL as string)
  const body = request.method === 'POST' ? await request.text() : undefined
  return handler(new Request(address, { method: request.method, headers: request.headers, body }))
}
