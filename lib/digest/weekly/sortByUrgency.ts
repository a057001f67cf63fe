import type pg from 'pg'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import type { Scope } from '@/lib/policy/scope'
import { getDigestSamples } from '@/lib/store/read/digest/digestSamples'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import { toOverdueItems } from './dueItems'
import { compareUrgency, type Loss } from './item'

export interface SortedOverdue {
  overdue: Overdue[]
  /** By the subject of what is overdue. */
  losses: ReadonlyMap<string, Loss>
}

/** Sorts what is overdue as the weekly mail does, so that both name the same thing first. */
export async function sortByUrgency(app: pg.Pool, scope: Scope, work: DueWork): Promise<SortedOverdue> {
  const codes = work.overdue.flatMap(({ sample }) => sample ?? [])
  const rows = await getDigestSamples(app, scope, codes, work.asOf)
  const losses = new Map<string, Loss>()
  const overdue = toOverdueItems(work, rows)
    .sort(compareUrgency)
    .flatMap(({ reason, loss }) => {
      if (reason.kind !== 'overdue') return []
      if (loss !== null) losses.set(reason.overdue.subject, loss)
      return [reason.overdue]
    })
  return { overdue, losses }
}
