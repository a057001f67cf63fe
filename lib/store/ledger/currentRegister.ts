import type pg from 'pg'
import { z } from 'zod'
import { type Kit, Register, toKit } from '@/lib/custody/register'
import { kit } from '@/lib/custody/registerDocument'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { storedVersion, VERSION_COLUMNS } from './registerEntries'

const known = new WeakMap<pg.Pool, { seq: string; register: Register }>()

/** The sequence number of the newest entry other than kits. */
export const NEWEST_ENTRY_SEQ = "select coalesce(max(seq), 0)::text from register_entry where kind <> 'kit'"

const READ_NEWEST_SEQ = statement(z.object({ seq: z.string() }), `select (${NEWEST_ENTRY_SEQ}) as seq`)

/**
 * The register over its whole history, without kits. It is cached for each pool until the ledger grows, so the same
 * object comes back while nothing changes. Needs a transaction that sees everything.
 */
export async function getRegister(pool: pg.Pool, client: Queryable): Promise<Register> {
  const { seq } = await READ_NEWEST_SEQ.one(client)
  return getRegisterAt(pool, client, seq)
}

/** The same, with the sequence number of the newest entry known already. */
export async function getRegisterAt(pool: pg.Pool, client: Queryable, seq: string): Promise<Register> {
  const before = known.get(pool)
  if (before?.seq === seq) return before.register
  const register = await readRegister(client)
  known.set(pool, { seq, register })
  return register
}

const READ_ENTRIES = statement(
  storedVersion,
  `select ${VERSION_COLUMNS} from register_entry where kind <> 'kit' order by seq`,
)

/** The register as this transaction sees it. It is not cached, since the transaction may be rolled back. */
export async function readRegister(client: Queryable): Promise<Register> {
  return new Register(await READ_ENTRIES.all(client))
}

const READ_KITS = statement(
  z.object({ content: kit.nullable() }),
  `select distinct on (code) content from register_entry
   where kind = 'kit' and code = any($1) order by code, seq desc`,
)

/** By canonical kit code, in their newest version. */
export async function findKits(db: Queryable, codes: readonly string[]): Promise<Map<string, Kit>> {
  if (codes.length === 0) return new Map()
  const rows = await READ_KITS.all(db, [codes])
  return new Map(rows.flatMap(({ content }) => (content ? [[content.code, toKit(content)] as const] : [])))
}
