import { findOverdue, formatDueUrl, readDueFilter } from '@/app/due/dueFilter'
import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { mayResolve } from '@/lib/judgement/responsibility'
import { parseSetAside } from '@/lib/judgement/setAside'
import { getScope } from '@/lib/policy/principal'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { recordSetAside } from '@/lib/store/read/due/setAsides'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/**
 * Sets an overdue task aside, with an entry in the audit log. A fault leads back with what was typed. A task that is
 * another's, settled or unknown leads back in the same way, and nothing is stored.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/due/snooze', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const filter = readDueFilter((name) => form.get(name))
  if (principal.kind !== 'person') return redirect303('/due')
  const now = Date.now()
  const scope = getScope(principal)
  const overdue = findOverdue(await getDueWork(getAppPool(), scope, now), form.get('subject') ?? '')
  if (overdue === null || !mayResolve(overdue.actor, principal.roles))
    return redirect303(formatDueUrl(filter, { gone: 'yes' }))
  const until = form.get('until') ?? ''
  const reason = form.get('reason') ?? ''
  const read = parseSetAside({ until, reason }, overdue.zone, now)
  if ('faults' in read) {
    const typed = { aside: overdue.subject, until: until.slice(0, 100), reason: reason.slice(0, 1000) }
    return redirect303(`${formatDueUrl(filter, typed)}#leaving`)
  }
  await recordSetAside(getAppPool(), scope, overdue, read, toActor(principal, request), now)
  return redirect303(`${formatDueUrl(filter)}#aside`)
})
