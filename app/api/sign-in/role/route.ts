import { DEMO_PARTS, demoPerson } from '@/lib/access/demo'
import { leadTo, signedIn } from '@/lib/access/signedIn'
import { wantedPath } from '@/lib/access/wanted'
import { answering } from '../../answering'
import { askedByAnyone } from '../../asked'
import { shortForm } from '../../shortForm'

/** Signs in as one of the demo's people. With any other database it is not there. */
export const POST = answering(async (request: Request) => {
  const refusal = askedByAnyone('POST /api/sign-in/role', request)
  if (refusal) return refusal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const part = DEMO_PARTS.find((one) => one === form.get('role'))
  const personId = await demoPerson(part ?? 'reader')
  if (personId === null) return new Response(null, { status: 404 })
  if (!part) return leadTo('/sign-in')
  const to = wantedPath(form.get('to'))
  return (await signedIn(request, personId, 'demo', to)) ?? leadTo('/sign-in')
})
