import type { Loss } from './loss'
import type { NextAct } from './nextAct'

/** By what everything that someone has to do is ordered, on every page and in every mail. Instants in ms UTC. */
export interface Urgency {
  /** Whether it needs someone today. */
  isUrgent: boolean
  loss: Pick<Loss, 'at'> | null
  /** Since when it is overdue, else by when it is due. */
  at: number
  /** Kit code, or what else tells it from others. */
  key: string
}

export function getUrgency({ isUrgent, loss, overdue, byAt }: NextAct, key: string): Urgency {
  return { isUrgent, loss, at: overdue?.sinceAt ?? byAt ?? Number.POSITIVE_INFINITY, key }
}

/**
 * Most urgent first. Among what needs someone today, what can still be saved: the soonest lost first. Then what is only late, the
 * last to become so first: whoever has to do an older one has seen it, and after a fresh one a line may still run. What can wait
 * comes by its day.
 */
export function compareUrgency(a: Urgency, b: Urgency): number {
  const byKey = a.key < b.key ? -1 : a.key > b.key ? 1 : 0
  if (a.isUrgent !== b.isUrgent) return a.isUrgent ? -1 : 1
  // Two unknown times are alike: their difference is not a number.
  if (!a.isUrgent) return a.at - b.at || byKey
  if (a.loss !== null && b.loss !== null) return a.loss.at - b.loss.at || b.at - a.at || byKey
  if (a.loss !== b.loss) return a.loss === null ? 1 : -1
  return b.at - a.at || byKey
}
