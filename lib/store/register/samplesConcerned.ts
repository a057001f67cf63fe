import type { EntryChange } from '../ledger/registerEntries'
import type { Queryable } from '../scope/transaction'

/**
 * The kit codes of the samples that changed entries can concern. A place that moves to another zone concerns every
 * sample, since any event may have been reported there in its local time. A protocol concerns the samples of every
 * product that was, is or will be under it: the limits of another time may judge a clock, or be waited for. A plant concerns
 * those of every product that it makes or once did, wherever they were cut: another maker's count for no test of it.
 */
export async function samplesConcerned(
  client: Queryable,
  changes: readonly EntryChange[],
): Promise<string[]> {
  const standing = changes.filter(({ content }) => content !== null)
  const codesOf = (kind: string) => standing.filter((change) => change.kind === kind).map(({ code }) => code)
  const isMoved = standing.some(
    ({ kind, content, before }) =>
      (kind === 'plant' || kind === 'laboratory') && before !== null && before.zone !== content?.zone,
  )
  const { rows } = await client.query<{ code: string }>(
    `select code from sample
     where $1 or plant = any($2) or laboratory = any($3) or product = any($4) or product in
       (select code from register_entry where kind = 'product'
          and (content ->> 'protocol' = any($5) or content ->> 'plant' = any($2)))
     union select code from unnest($6::text[]) as kit (code)
     order by code`,
    [
      isMoved,
      codesOf('plant'),
      codesOf('laboratory'),
      codesOf('product'),
      codesOf('protocol'),
      codesOf('kit'),
    ],
  )
  return rows.map(({ code }) => code)
}
