import { assertDatabaseAnswers, pruneChallenges } from '@/lib/store/people/sessions'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { getAuth } from './auth'

/** Our names for the steps of a passkey ceremony, and the library's paths for them. */
const STEPS: Record<string, { method: string; path: string }> = {
  'enrol-begin': { method: 'GET', path: 'generate-register-options' },
  'enrol-end': { method: 'POST', path: 'verify-registration' },
  'use-begin': { method: 'GET', path: 'generate-authenticate-options' },
  'use-end': { method: 'POST', path: 'verify-authentication' },
}

/**
 * Lets the library handle one step; null for an unknown step. Nothing else of the library is reachable from outside.
 * `body` is the body of a POST.
 */
export async function handlePasskeyStep(
  step: string,
  request: Request,
  body?: string,
): Promise<Response | null> {
  const found = Object.hasOwn(STEPS, step) ? STEPS[step] : undefined
  if (!found || found.method !== request.method) return null
  if (request.method === 'GET') await pruneChallenges(getAuthPool(), Date.now())
  const { handler, options } = getAuth()
  const address = new URL(`/api/auth/passkey/${found.path}`, options.baseURL as string)
  const answer = await handler(
    new Request(address, { method: request.method, headers: request.headers, body }),
  )
  if (!answer.ok) await assertDatabaseAnswers(getAuthPool())
  return answer
}
