import { signOut } from '@/lib/access/session/signIn'
import { allowAnonymous } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'

/** Ends the session of this browser. */
export const POST = withErrorHandling(async (request: Request) => {
  return allowAnonymous('POST /api/sign-out', request) ?? signOut(request)
})
