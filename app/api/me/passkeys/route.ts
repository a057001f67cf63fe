import { removeOwnPasskey } from '@/lib/access/own'
import { leadTo } from '@/lib/access/signedIn'
import { asked } from '../../asked'

/** Takes away the passkey that a person names. */
export async function POST(request: Request): Promise<Response> {
  const principal = await asked('POST /api/me/passkeys', request)
  if (principal instanceof Response) return principal
  const form = await request.formData().catch(() => new FormData())
  if (principal.kind === 'person') await removeOwnPasskey(request, principal, String(form.get('id') ?? ''))
  return leadTo('/me')
}
