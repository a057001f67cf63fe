import type pg from 'pg'
import { z } from 'zod'
import { type Message, message } from '@/lib/messages/message'
import { readRegister } from '../ledger/currentRegister'
import type { EntryChange } from '../ledger/registerEntries'
import { derive } from '../projection/derive'
import { touchSamples } from '../projection/relatedEvents'
import { type Actor, type AuditLine, appendToAuditLog } from '../scope/audit'
import { toSqlInstant } from '../scope/sqlInstant'
import { command, statement } from '../scope/statement'
import type { TimeSlices } from '../scope/timeSlices'
import type { Queryable } from '../scope/transaction'

/** Entries or samples sent to the database at once: more take it longer than a slice to be put into a statement. */
const BATCH = 1_000

/** Why a valid change cannot be made: it would remove an entry that events need. `pointer` is a JSON pointer. */
export interface Refusal {
  pointer: string
  detail: Message
}

const FIND_NEEDED = statement(
  z.object({ code: z.string(), list: z.enum(['kits', 'places']) }),
  `select code, 'kits' as list from unnest($1::text[]) as gone (code)
     where exists (select from event where sample = gone.code)
   union all
   select code, 'places' from unnest($2::text[]) as gone (code) where exists (select from event where place = gone.code)`,
)

export async function findRefusals(client: Queryable, changes: readonly EntryChange[]): Promise<Refusal[]> {
  const removed = (kinds: string[]) =>
    changes.filter(({ kind, content }) => content === null && kinds.includes(kind)).map(({ code }) => code)
  const kits = removed(['kit'])
  const places = removed(['plant', 'laboratory'])
  if (kits.length + places.length === 0) return []
  const rows = await FIND_NEEDED.all(client, [kits, places])
  return rows.map(({ code, list }) =>
    list === 'kits'
      ? {
          pointer: '/kits',
          detail: message('register.kitHasEvents', { code }),
        }
      : {
          pointer: '',
          detail: message('register.placeHasEvents', { code }),
        },
  )
}

/** A plant or laboratory whose zone would change at a later time, which is refused. */
export interface FutureZoneChange {
  list: 'plants' | 'laboratories'
  code: string
  detail: Message
}

/**
 * Changes of a zone that would hold only from `holdsFromAt`, later than `now` (ms UTC). A zone has no versions: local
 * times and local days are always read in the place's current zone, so a new zone would hold at once.
 */
export function findFutureZoneChanges(
  changes: readonly EntryChange[],
  holdsFromAt: number,
  now: number,
): FutureZoneChange[] {
  if (holdsFromAt <= now) return []
  return changes.flatMap(({ kind, code, content, before }) => {
    if (kind !== 'plant' && kind !== 'laboratory') return []
    if (before === null || content === null || before.zone === content.zone) return []
    const from = new Date(holdsFromAt).toISOString()
    return {
      list: kind === 'plant' ? ('plants' as const) : ('laboratories' as const),
      code,
      detail: message('register.zoneAhead', {
        code,
        before: String(before.zone),
        after: String(content.zone),
        from,
      }),
    }
  })
}

const FIND_AFFECTED = statement(
  z.object({ code: z.string() }),
  `select code from sample
   where $1 or plant = any($2) or laboratory = any($3) or product = any($4) or product in
     (select code from register_entry where kind = 'product'
        and (content ->> 'protocol' = any($5) or content ->> 'plant' = any($2)))
   union select code from unnest($6::text[]) as kit (code)
   order by code`,
)

/**
 * The kit codes of the samples that these changes can affect. A new zone of a place affects every sample, since any
 * event may have been reported there in local time. A protocol affects the samples of every product that was, is or will
 * be under it, since limits of another time may judge a clock. A plant affects the samples of every product that it
 * makes or once made, wherever they were cut: its maker decides whether they count for a test.
 */
export async function findAffectedSamples(
  client: Queryable,
  changes: readonly EntryChange[],
): Promise<string[]> {
  const kept = changes.filter(({ content }) => content !== null)
  const listCodes = (kind: string) => kept.filter((change) => change.kind === kind).map(({ code }) => code)
  const isMoved = kept.some(
    ({ kind, content, before }) =>
      (kind === 'plant' || kind === 'laboratory') && before !== null && before.zone !== content?.zone,
  )
  const rows = await FIND_AFFECTED.all(client, [
    isMoved,
    listCodes('plant'),
    listCodes('laboratory'),
    listCodes('product'),
    listCodes('protocol'),
    listCodes('kit'),
  ])
  return rows.map(({ code }) => code)
}

const DELETE_SAMPLES = command('delete from sample where code = any($1)')

/**
 * Inserts changes as new versions that hold from `holdsFromAt`, derives the samples `codes` again and writes the audit
 * log. Needs the write transaction. Times in ms UTC.
 */
export async function saveChanges(
  client: pg.PoolClient,
  changes: readonly EntryChange[],
  codes: readonly string[],
  { holdsFromAt, actor, now, slices }: { holdsFromAt: number; actor: Actor; now: number; slices: TimeSlices },
): Promise<void> {
  if (changes.length === 0) return
  await insertVersions(client, changes, holdsFromAt, now)
  const removedKits = changes.filter(({ kind, content }) => kind === 'kit' && content === null)
  await DELETE_SAMPLES.run(client, [removedKits.map(({ code }) => code)])
  const register = await readRegister(client)
  for (let start = 0; start < codes.length; start += BATCH)
    await derive(client, touchSamples(codes.slice(start, start + BATCH)), register, now, slices)
  for (let start = 0; start < changes.length; start += BATCH)
    await appendToAuditLog(client, actor, changes.slice(start, start + BATCH).map(toAuditLine), now)
}

function toAuditLine({ kind, code, content, before }: EntryChange): AuditLine {
  const did = before === null ? 'added' : content === null ? 'removed' : 'changed'
  return { what: `${did} a ${kind}`, subject: code, before, after: content }
}

const INSERT_VERSIONS = command(
  `insert into register_entry (kind, code, content, holds_from_at, entered_at)
   select kind, code, content::jsonb, $4::timestamptz, $5::timestamptz
   from unnest($1::text[], $2::text[], $3::text[]) as new (kind, code, content)`,
)

async function insertVersions(
  client: Queryable,
  changes: readonly EntryChange[],
  holdsFromAt: number,
  now: number,
): Promise<void> {
  for (let start = 0; start < changes.length; start += BATCH) {
    const batch = changes.slice(start, start + BATCH)
    await INSERT_VERSIONS.run(client, [
      batch.map(({ kind }) => kind),
      batch.map(({ code }) => code),
      batch.map(({ content }) => (content === null ? null : JSON.stringify(content))),
      toSqlInstant(holdsFromAt),
      toSqlInstant(now),
    ])
  }
}
