import { signedOut } from '@/lib/access/signedIn'
import { askedByAnyone } from '../asked'

/** Ends the session of this browser. */
export async function POST(request: Request): Promise<Response> {
  return askedByAnyone('POST /api/sign-out', request) ?? signedOut(request)
}
