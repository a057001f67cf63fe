import { listVisiblePlaces, type Roles, seesAll } from './personRoles'

/**
 * What a principal may see: everything, or the samples of some plants and those bound for some laboratories. The
 * database enforces it row by row; with empty lists nothing is seen but what is everybody's.
 */
export type Scope = 'all' | { plants: readonly string[]; laboratories: readonly string[] }

/** What people see by their roles, one or several between them. */
export function toScope(...people: readonly Roles[]): Scope {
  if (people.some(seesAll)) return 'all'
  return {
    plants: [...new Set(people.flatMap((one) => listVisiblePlaces(one, 'plant')))].sort(),
    laboratories: [...new Set(people.flatMap((one) => listVisiblePlaces(one, 'laboratory')))].sort(),
  }
}

/** Whether a scope lets see every sample of a plant. */
export function includesPlant(scope: Scope, plant: string): boolean {
  return scope === 'all' || scope.plants.includes(plant)
}

/** Whether a scope lets see a sample of these places. */
export function includesSample(scope: Scope, { plant, laboratory }: { plant: string; laboratory: string }) {
  return scope === 'all' || scope.plants.includes(plant) || scope.laboratories.includes(laboratory)
}

/** Whether a scope lets see all that another does. */
export function includesScope(scope: Scope, other: Scope): boolean {
  if (scope === 'all') return true
  return (
    other !== 'all' &&
    other.plants.every((plant) => scope.plants.includes(plant)) &&
    other.laboratories.every((laboratory) => scope.laboratories.includes(laboratory))
  )
}
