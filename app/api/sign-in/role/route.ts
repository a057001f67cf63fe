import { mayUseDemoRoles } from '@/lib/access/session/demoAccess'
import { parseReturnPath } from '@/lib/access/session/returnPath'
import { redirect303, signIn } from '@/lib/access/session/signIn'
import { ROLE_NAMES } from '@/lib/policy/personRoles'
import { ensureDemoPerson } from '@/lib/store/people/demoPeople'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { allowAnonymous } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Signs in as one of the demo's people; 404 on any other database, and for another machine. */
export const POST = withErrorHandling(async (request: Request) => {
  const refusal = allowAnonymous('POST /api/sign-in/role', request)
  if (refusal) return refusal
  if (!mayUseDemoRoles(request)) return new Response(null, { status: 404 })
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const role = ROLE_NAMES.find((one) => one === form.get('role'))
  const personId = await ensureDemoPerson(getAppPool(), getAuthPool(), role ?? 'reader', Date.now())
  if (personId === null) return new Response(null, { status: 404 })
  if (!role) return redirect303('/sign-in')
  const to = parseReturnPath(form.get('to'))
  return (await signIn(request, personId, 'demo', to)) ?? redirect303('/sign-in')
})
