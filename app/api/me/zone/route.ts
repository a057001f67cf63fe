import { parseZone } from '@/app/me/zoneField'
import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { setOwnZone } from '@/lib/store/people/people'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Saves the zone in which a person reads times. An unknown zone leads back to the form with what was typed. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/me/zone', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const typed = (form.get('zone') ?? '').trim().slice(0, 64)
  const zone = parseZone(typed)
  if (zone === undefined) return redirect303(`/me?${new URLSearchParams({ zone: typed })}#zone`)
  await setOwnZone(getAuthPool(), principal.id, zone, toActor(principal, request), Date.now())
  return redirect303('/me?kept=zone#zone')
})
