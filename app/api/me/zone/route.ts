import { zoneNamed } from '@/app/me/zoneField'
import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { setOwnZone } from '@/lib/store/people/people'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Keeps in which zone a person reads times; where none is named, leads back with what was typed. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/me/zone', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const typed = (form.get('zone') ?? '').trim().slice(0, 64)
  const zone = zoneNamed(typed)
  if (zone === undefined) return leadTo(`/me?${new URLSearchParams({ zone: typed })}#zone`)
  await setOwnZone(sharedDoor(), principal.id, zone, actorOf(principal, request), Date.now())
  return leadTo('/me?kept=zone#zone')
})
