import type pg from 'pg'
import { readRegister } from '../ledger/currentRegister'
import type { EntryChange } from '../ledger/registerEntries'
import { derive } from '../projection/derive'
import { touching } from '../projection/eventsBearing'
import { type Actor, type AuditLine, record } from '../scope/audit'
import { instantText } from '../scope/instantText'
import type { Queryable } from '../scope/transaction'

const BATCH = 5_000

/** Why a checked change can still not be made: it takes out what events stand on. */
export interface Refusal {
  pointer: string
  detail: string
}

/** What of these changes cannot be made because events stand on what they take out. */
export async function refusalsOf(client: Queryable, changes: readonly EntryChange[]): Promise<Refusal[]> {
  const removed = (kinds: string[]) =>
    changes.filter(({ kind, content }) => content === null && kinds.includes(kind)).map(({ code }) => code)
  const kits = removed(['kit'])
  const places = removed(['plant', 'laboratory'])
  if (kits.length + places.length === 0) return []
  const { rows } = await client.query<{ code: string; list: string }>(
    `select code, 'kits' as list from unnest($1::text[]) as gone (code)
       where exists (select from event where sample = gone.code)
     union all
     select code, 'places' from unnest($2::text[]) as gone (code) where exists (select from event where place = gone.code)`,
    [kits, places],
  )
  return rows.map(({ code, list }) =>
    list === 'kits'
      ? {
          pointer: '/kits',
          detail: `Kit ${code} has events, so it stays in the register; report it cancelled if it is not to be used.`,
        }
      : {
          pointer: '',
          detail: `Events were reported at ${code}, and their times are read in its zone; keep it in the register.`,
        },
  )
}

/**
 * Enters changes as new versions that hold from `holdsFromAt`, derives the samples `codes` again and records who did
 * it. Run it as the writer. Times in ms UTC.
 */
export async function enterChanges(
  client: pg.PoolClient,
  changes: readonly EntryChange[],
  codes: readonly string[],
  { holdsFromAt, actor, now }: { holdsFromAt: number; actor: Actor; now: number },
): Promise<void> {
  if (changes.length === 0) return
  await enterVersions(client, changes, holdsFromAt, now)
  const removedKits = changes.filter(({ kind, content }) => kind === 'kit' && content === null)
  await client.query('delete from sample where code = any($1)', [removedKits.map(({ code }) => code)])
  const register = await readRegister(client)
  for (let start = 0; start < codes.length; start += BATCH)
    await derive(client, touching(codes.slice(start, start + BATCH)), register, now)
  for (let start = 0; start < changes.length; start += BATCH)
    await record(client, actor, changes.slice(start, start + BATCH).map(auditLine), now)
}

function auditLine({ kind, code, content, before }: EntryChange): AuditLine {
  const did = before === null ? 'added' : content === null ? 'took out' : 'changed'
  return { what: `${did} a ${kind}`, subject: code, before, after: content }
}

async function enterVersions(
  client: Queryable,
  changes: readonly EntryChange[],
  holdsFromAt: number,
  now: number,
): Promise<void> {
  for (let start = 0; start < changes.length; start += BATCH) {
    const batch = changes.slice(start, start + BATCH)
    await client.query(
      `insert into register_entry (kind, code, content, holds_from_at, entered_at)
       select kind, code, content::jsonb, $4::timestamptz, $5::timestamptz
       from unnest($1::text[], $2::text[], $3::text[]) as new (kind, code, content)`,
      [
        batch.map(({ kind }) => kind),
        batch.map(({ code }) => code),
        batch.map(({ content }) => (content === null ? null : JSON.stringify(content))),
        instantText(holdsFromAt),
        instantText(now),
      ],
    )
  }
}
