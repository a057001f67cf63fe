import pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { command } from './statement'
import { runTransaction } from './transaction'

const SET_SCOPE = command("select set_config('holdfast.scope', $1, true)")

/** Sets the row-level-security scope of this transaction. */
export async function setScope(client: pg.ClientBase, scope: Scope): Promise<void> {
  await SET_SCOPE.run(client, [formatScope(scope)])
}

/** Runs `work` in a transaction limited to the rows of `scope`. */
export async function withScope<T>(
  pool: pg.Pool,
  scope: Scope,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  return runTransaction(
    pool,
    work,
    `select set_config('holdfast.scope', ${pg.escapeLiteral(formatScope(scope))}, true)`,
  )
}

/** The scope in the form of the database's setting. */
export function formatScope(scope: Scope): string {
  return scope === 'all'
    ? scope
    : ['some', formatArray(scope.plants), formatArray(scope.laboratories)].join('\u001f')
}

/** A PostgreSQL array literal. */
function formatArray(codes: readonly string[]): string {
  return `{${codes.map((code) => `"${code.replace(/["\\]/g, '\\$&')}"`).join(',')}}`
}
