import { dueAddress, dueFilter, overdueNamed } from '@/app/due/dueFilter'
import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { maySettle } from '@/lib/judgement/hasToAct'
import { scopeOf } from '@/lib/policy/principal'
import { readSnooze } from '@/lib/schedule/snooze'
import { dueWork } from '@/lib/store/read/due/dueWork'
import { enterSnooze } from '@/lib/store/read/due/snoozes'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/**
 * Leaves something overdue aside for a while, on record, and leads back to what is due; with what was typed where it
 * cannot be taken. What is another's, is settled by now or never was leads back alike, and nothing is kept.
 */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/due/snooze', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const filter = dueFilter((name) => form.get(name))
  if (principal.kind !== 'person') return leadTo('/due')
  const now = Date.now()
  const scope = scopeOf(principal)
  const overdue = overdueNamed(await dueWork(sharedPool(), scope, now), form.get('subject') ?? '')
  if (overdue === null || !maySettle(overdue.actor, principal.roles))
    return leadTo(dueAddress(filter, { gone: 'yes' }))
  const until = form.get('until') ?? ''
  const reason = form.get('reason') ?? ''
  const read = readSnooze({ until, reason }, overdue.zone, now)
  if ('faults' in read) {
    const typed = { aside: overdue.subject, until: until.slice(0, 100), reason: reason.slice(0, 1000) }
    return leadTo(`${dueAddress(filter, typed)}#leaving`)
  }
  await enterSnooze(sharedPool(), scope, overdue, read, actorOf(principal, request), now)
  return leadTo(`${dueAddress(filter)}#aside`)
})
