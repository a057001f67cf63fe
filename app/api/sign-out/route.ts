import { signedOut } from '@/lib/access/session/signedIn'
import { answering } from '../answering'
import { askedByAnyone } from '../asked'

/** Ends the session of this browser. */
export const POST = answering(async (request: Request) => {
  return askedByAnyone('POST /api/sign-out', request) ?? signedOut(request)
})
