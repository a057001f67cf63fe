import type pg from 'pg'
import { z } from 'zod'
import { type Kit, kitOf, Register } from '@/lib/custody/register'
import { kit } from '@/lib/custody/registerDocument'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { storedVersion, VERSION_COLUMNS } from './registerEntries'

const known = new WeakMap<pg.Pool, { seq: string; register: Register }>()

/** The place of the newest entry that is no kit. */
export const NEWEST_ENTRY = "select coalesce(max(seq), 0)::text from register_entry where kind <> 'kit'"

const GROWN = statement(z.object({ seq: z.string() }), `select (${NEWEST_ENTRY}) as seq`)

/**
 * The register over its whole history, kits apart. It is kept for each pool until the ledger has grown, so that the
 * same object comes back as long as nothing has changed. Within a transaction that sees everything.
 */
export async function currentRegister(pool: pg.Pool, client: Queryable): Promise<Register> {
  const { seq } = await GROWN.one(client)
  return registerAt(pool, client, seq)
}

/** The same where the place `seq` of the newest entry that is no kit is known already. */
export async function registerAt(pool: pg.Pool, client: Queryable, seq: string): Promise<Register> {
  const before = known.get(pool)
  if (before?.seq === seq) return before.register
  const register = await readRegister(client)
  known.set(pool, { seq, register })
  return register
}

const ENTERED = statement(
  storedVersion,
  `select ${VERSION_COLUMNS} from register_entry where kind <> 'kit' order by seq`,
)

/** The same read from the ledger as this transaction sees it, and not kept: what it has entered may be taken back. */
export async function readRegister(client: Queryable): Promise<Register> {
  return new Register(await ENTERED.all(client))
}

const KITS = statement(
  z.object({ content: kit.nullable() }),
  `select distinct on (code) content from register_entry
   where kind = 'kit' and code = any($1) order by code, seq desc`,
)

/** The kits of these canonical codes, as the register has them now. */
export async function kitsOf(db: Queryable, codes: readonly string[]): Promise<Map<string, Kit>> {
  const rows = await KITS.all(db, [codes])
  return new Map(rows.flatMap(({ content }) => (content ? [[content.code, kitOf(content)] as const] : [])))
}
