import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { Person, Principal } from '@/lib/policy/principal'

/** The person who asks, or the response to give instead: that of the guard, or 403 to a key. */
export function onlyPerson(principal: Principal | Response): Person | Response {
  if (principal instanceof Response || principal.kind === 'person') return principal
  return problemReply(
    problem(
      'not-yours',
      403,
      'Not yours to ask',
      'Only a person records by hand; send events to /api/events.',
    ),
  )
}
