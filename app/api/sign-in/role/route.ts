import { DEMO_PARTS, demoPerson } from '@/lib/access/demo'
import { leadTo, signedIn } from '@/lib/access/signedIn'
import { wantedPath } from '@/lib/access/wanted'
import { askedByAnyone } from '../../asked'

/** Signs in as one of the demo's people. With any other database it is not there. */
export async function POST(request: Request): Promise<Response> {
  const refusal = askedByAnyone('POST /api/sign-in/role', request)
  if (refusal) return refusal
  const form = await request.formData().catch(() => new FormData())
  const part = DEMO_PARTS.find((one) => one === form.get('role'))
  const personId = await demoPerson(part ?? 'reader')
  if (personId === null) return new Response(null, { status: 404 })
  if (!part) return leadTo('/sign-in')
  const to = wantedPath(String(form.get('to') ?? ''))
  return (await signedIn(request, personId, 'demo', to)) ?? leadTo('/sign-in')
}
