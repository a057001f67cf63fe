import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { getDigestSamples } from '@/lib/store/read/digest/digestSamples'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import { toDueItems } from './dueItems'
import { compareUrgency, type Loss } from './item'

/** What is overdue in the order of the weekly mail, and what waiting costs. */
export interface SortedOverdue {
  overdue: Overdue[]
  /** What can still be saved, by the subject of what is overdue. */
  losses: ReadonlyMap<string, Loss>
}

/** Puts what is overdue in the order in which the weekly mail names it, so that page and mail say the same is first. */
export async function sortByUrgency(app: pg.Pool, scope: Scope, work: DueWork): Promise<SortedOverdue> {
  const codes = work.overdue.flatMap(({ sample }) => sample ?? [])
  const { rows } = await getDigestSamples(app, scope, codes, work.asOf)
  const losses = new Map<string, Loss>()
  const overdue = toDueItems(work, rows)
    .sort(compareUrgency)
    .flatMap(({ reason: told, loss }) => {
      if (told.kind !== 'overdue') return []
      if (loss !== null) losses.set(told.overdue.subject, loss)
      return [told.overdue]
    })
  return { overdue, losses }
}
