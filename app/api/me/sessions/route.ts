import { endOwnSessions } from '@/lib/access/own'
import { leadTo } from '@/lib/access/signedIn'
import { asked } from '../../asked'

/** Ends the session that a person names, or without a name all but the one that asks. */
export async function POST(request: Request): Promise<Response> {
  const principal = await asked('POST /api/me/sessions', request)
  if (principal instanceof Response) return principal
  const form = await request.formData().catch(() => null)
  if (form && principal.kind === 'person') {
    const id = form.get('id')
    await endOwnSessions(request, principal, id === null ? null : String(id))
  }
  return leadTo('/me')
}
