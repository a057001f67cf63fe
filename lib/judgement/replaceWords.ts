import { issueReplacement } from '@/lib/schedule/act'
import { isOwed } from '@/lib/schedule/isOwed'
import type { Part } from './hasToAct'

/** A sample that proves nothing any more: of which plant, of what purpose, and the code of what replaces it already. */
export interface Failed {
  plant: string
  purpose: string
  replacedBy: string | null
}

/** Whether a sample that proves nothing any more is still to be replaced: it is owed, and nothing replaces it yet. */
export function isToBeReplaced({ purpose, replacedBy }: Omit<Failed, 'plant'>): boolean {
  return isOwed(purpose) && replacedBy === null
}

/**
 * What someone is to do about a sample that proves nothing any more; null where it is not to be replaced, or where they
 * wait for others. `what` is its kit code, or "it".
 */
export function replaceWords(what: string, failed: Failed, part: Part): string | null {
  if (!isToBeReplaced(failed)) return null
  if (part.isAdministrator) return issueReplacement(what)
  return part.plants.includes(failed.plant) ? `cut again when the kit to replace ${what} has come` : null
}
