import pg from 'pg'
import { placesSeen, type Roles, seesAll } from '@/lib/custody/personRoles'
import { inTransaction } from './transaction'

/**
 * What a principal may see: everything, or the samples of some plants and those bound for some laboratories. The
 * database enforces it row by row; with empty lists nothing is seen but what is everybody's.
 */
export type Scope = 'all' | { plants: readonly string[]; laboratories: readonly string[] }

/** What people see by their roles, one or several between them. */
export function toScope(...people: readonly Roles[]): Scope {
  if (people.some(seesAll)) return 'all'
  return {
    plants: [...new Set(people.flatMap((one) => placesSeen(one, 'plant')))].sort(),
    laboratories: [...new Set(people.flatMap((one) => placesSeen(one, 'laboratory')))].sort(),
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

/** Says for the rest of the transaction for whom it works. */
export async function setScope(client: pg.ClientBase, scope: Scope): Promise<void> {
  await client.query("select set_config('holdfast.scope', $1, true)", [scopeText(scope)])
}

/** Runs `work` in a transaction in which only what `scope` lets see is there. */
export async function inScope<T>(
  pool: pg.Pool,
  scope: Scope,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  return inTransaction(
    pool,
    work,
    `select set_config('holdfast.scope', ${pg.escapeLiteral(scopeText(scope))}, true)`,
  )
}

/** A scope as the setting of the database has it. */
export function scopeText(scope: Scope): string {
  return scope === 'all'
    ? scope
    : ['some', arrayText(scope.plants), arrayText(scope.laboratories)].join('\u001f')
}

/** Codes as an array of PostgreSQL. */
function arrayText(codes: readonly string[]): string {
  return `{${codes.map((code) => `"${code.replace(/["\\]/g, '\\$&')}"`).join(',')}}`
}
