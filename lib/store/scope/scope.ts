import pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { command } from './statement'
import { inTransaction } from './transaction'

const SET_SCOPE = command("select set_config('holdfast.scope', $1, true)")

/** Says for the rest of the transaction for whom it works. */
export async function setScope(client: pg.ClientBase, scope: Scope): Promise<void> {
  await SET_SCOPE.run(client, [scopeText(scope)])
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
