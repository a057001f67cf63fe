import type pg from 'pg'
import { z } from 'zod'
import { type Kit, Register, toKit } from '@/lib/custody/register'
import { kit } from '@/lib/custody/registerDocument'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { storedVersion, VERSION_COLUMNS } from './registerEntries'

const known = new WeakMap<pg.Pool, { seq: string; register: Register }>()

/** The place of the newest entry that is no kit. */
export const NEWEST_ENTRY_SEQ = "select coalesce(max(seq), 0)::text from register_entry where kind <> 'kit'"

const READ_NEWEST_SEQ = statement(z.object({ seq: z.string() }), `select (${NEWEST_ENTRY_SEQ}) as seq`)

/**
 * The register over its whole history, kits apart. It is kept for each pool until the ledger has grown, so that the
 * same object comes back as long as nothing has changed. Within a transaction that sees everything.
 */
export async function getRegister(pool: pg.Pool, client: Queryable): Promise<Register> {
  const { seq } = await READ_NEWEST_SEQ.one(client)
  return getRegisterAt(pool, client, seq)
}

/** The same where the place `seq` of the newest entry that is no kit is known already. */
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

/** The same read from the ledger as this transaction sees it, and not kept: what it has entered may be taken back. */
export async function readRegister(client: Queryable): Promise<Register> {
  return new Register(await READ_ENTRIES.all(client))
}

const READ_KITS = statement(
  z.object({ content: kit.nullable() }),
  `select distinct on (code) content from register_entry
   where kind = 'kit' and code = any($1) order by code, seq desc`,
)

/** The kits of these canonical codes, as the register has them now. */
export async function findKits(db: Queryable, codes: readonly string[]): Promise<Map<string, Kit>> {
  const rows = await READ_KITS.all(db, [codes])
  return new Map(rows.flatMap(({ content }) => (content ? [[content.code, toKit(content)] as const] : [])))
}
