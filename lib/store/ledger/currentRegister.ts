import type pg from 'pg'
import { type Kit, kitOf, Register, type RegisterEntry, type RegisterRemoval } from '@/lib/custody/register'
import type { KitContent } from '@/lib/custody/registerDocument'
import type { Queryable } from '../scope/transaction'

/** An entry that was checked when it was entered; PostgreSQL gives -infinity as a number. */
type StoredEntry = (RegisterEntry | RegisterRemoval) & { holds_from_at: Date | number }

const known = new WeakMap<pg.Pool, { seq: string; register: Register }>()

/**
 * The register over its whole history, kits apart. It is kept for each pool until the ledger has grown, so that the
 * same object comes back as long as nothing has changed. Within a transaction that sees everything.
 */
export async function currentRegister(pool: pg.Pool, client: Queryable): Promise<Register> {
  const { rows } = await client.query<{ seq: string }>(
    "select coalesce(max(seq), 0)::text as seq from register_entry where kind <> 'kit'",
  )
  return registerAt(pool, client, rows[0]?.seq ?? '0')
}

/** The same where the place `seq` of the newest entry that is no kit is known already. */
export async function registerAt(pool: pg.Pool, client: Queryable, seq: string): Promise<Register> {
  const before = known.get(pool)
  if (before?.seq === seq) return before.register
  const register = await readRegister(client)
  known.set(pool, { seq, register })
  return register
}

/** The same read from the ledger as this transaction sees it, and not kept: what it has entered may be taken back. */
export async function readRegister(client: Queryable): Promise<Register> {
  const { rows } = await client.query<StoredEntry>(
    "select kind, code, content, holds_from_at from register_entry where kind <> 'kit' order by seq",
  )
  return new Register(rows.map((row) => ({ ...row, holdsFromAt: Number(row.holds_from_at) })))
}

/** The kits of these canonical codes, as the register has them now. */
export async function kitsOf(db: Queryable, codes: readonly string[]): Promise<Map<string, Kit>> {
  const { rows } = await db.query<{ content: KitContent | null }>(
    `select distinct on (code) content from register_entry
     where kind = 'kit' and code = any($1) order by code, seq desc`,
    [codes],
  )
  return new Map(rows.flatMap(({ content }) => (content ? [[content.code, kitOf(content)] as const] : [])))
}
