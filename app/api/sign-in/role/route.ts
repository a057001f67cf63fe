import { leadTo, signedIn } from '@/lib/access/session/signedIn'
import { wantedPath } from '@/lib/access/session/wanted'
import { ROLE_NAMES } from '@/lib/policy/personRoles'
import { demoPerson } from '@/lib/store/people/demoPeople'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { askedByAnyone } from '../../asked'
import { shortForm } from '../../shortForm'

/** Signs in as one of the demo's people. With any other database it is not there. */
export const POST = answering(async (request: Request) => {
  const refusal = askedByAnyone('POST /api/sign-in/role', request)
  if (refusal) return refusal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const role = ROLE_NAMES.find((one) => one === form.get('role'))
  const personId = await demoPerson(sharedPool(), sharedDoor(), role ?? 'reader', Date.now())
  if (personId === null) return new Response(null, { status: 404 })
  if (!role) return leadTo('/sign-in')
  const to = wantedPath(form.get('to'))
  return (await signedIn(request, personId, 'demo', to)) ?? leadTo('/sign-in')
})
