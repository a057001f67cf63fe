import { listVisiblePlaces, type Roles, seesAll } from './personRoles'

/**
 * What a principal may see: everything, or the samples of some plants and those bound for some laboratories. The
 * database enforces it row by row. Empty lists show only what everyone may see.
 */
export type Scope = 'all' | { plants: readonly string[]; laboratories: readonly string[] }

/** What one or several people see together by their roles. */
export function toScope(...people: readonly Roles[]): Scope {
  if (people.some(seesAll)) return 'all'
  return {
    plants: [...new Set(people.flatMap((one) => listVisiblePlaces(one, 'plant')))].sort(),
    laboratories: [...new Set(people.flatMap((one) => listVisiblePlaces(one, 'laboratory')))].sort(),
  }
}

/** Whether a scope shows every sample of a plant. */
export function includesPlant(scope: Scope, plant: string): boolean {
  return scope === 'all' || scope.plants.includes(plant)
}

/** Whether a scope shows a sample of these places. */
export function includesSample(scope: Scope, { plant, laboratory }: { plant: string; laboratory: string }) {
  return scope === 'all' || scope.plants.includes(plant) || scope.laboratories.includes(laboratory)
}

/** Whether a scope shows everything that another does. */
export function includesScope(scope: Scope, other: Scope): boolean {
  if (scope === 'all') return true
  return (
    other !== 'all' &&
    other.plants.every((plant) => scope.plants.includes(plant)) &&
    other.laboratories.every((laboratory) => scope.laboratories.includes(laboratory))
  )
}
