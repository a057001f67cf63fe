import type { Part } from './hasToAct'

/** What the programme does about a sample that has to be cut again: nothing can be cut before a kit has come. */
export function issueReplacement(what: string): string {
  return `issue a kit to replace ${what}`
}

/**
 * What someone is to do about a sample of `plant` that has to be cut again and for which nothing was issued; null where
 * they wait for others. `what` is its kit code, or "it".
 */
export function replaceWords(what: string, plant: string, part: Part): string | null {
  if (part.isAdministrator) return issueReplacement(what)
  return part.plants.includes(plant) ? `cut again when the kit to replace ${what} has come` : null
}
