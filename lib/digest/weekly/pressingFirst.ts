import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { digestSamples } from '@/lib/store/read/digest/digestSamples'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import { byPressing, type Loss } from './item'
import { itemsOfDueWork } from './itemsOfDueWork'

/** What is overdue in the order of the weekly mail, and what waiting costs. */
export interface PressingFirst {
  overdue: Overdue[]
  /** What can still be saved, by the subject of what is overdue. */
  losses: ReadonlyMap<string, Loss>
}

/** Puts what is overdue in the order in which the weekly mail names it, so that page and mail say the same is first. */
export async function pressingFirst(app: pg.Pool, scope: Scope, work: DueWork): Promise<PressingFirst> {
  const codes = work.pressing.flatMap(({ sample }) => sample ?? [])
  const { rows } = await digestSamples(app, scope, codes, work.asOf)
  const losses = new Map<string, Loss>()
  const overdue = itemsOfDueWork(work, rows)
    .sort(byPressing)
    .flatMap(({ told, loss }) => {
      if (told.kind !== 'overdue') return []
      if (loss !== null) losses.set(told.overdue.subject, loss)
      return [told.overdue]
    })
  return { overdue, losses }
}
