import type { EntryChange } from '../ledger/registerEntries'

/** A plant or laboratory whose zone would change at a later time, and why it cannot. */
export interface ZoneAhead {
  list: 'plants' | 'laboratories'
  code: string
  detail: string
}

/**
 * The changes of a zone that are to hold only from `holdsFromAt`, later than `now` (ms UTC). A zone has no versions:
 * what was reported in local time, and every local day of a clock, is read in the one that the place has, so another one
 * would hold at once and not from then.
 */
export function zonesAhead(changes: readonly EntryChange[], holdsFromAt: number, now: number): ZoneAhead[] {
  if (holdsFromAt <= now) return []
  return changes.flatMap(({ kind, code, content, before }) => {
    if (kind !== 'plant' && kind !== 'laboratory') return []
    if (before === null || content === null || before.zone === content.zone) return []
    const from = new Date(holdsFromAt).toISOString()
    return {
      list: kind === 'plant' ? ('plants' as const) : ('laboratories' as const),
      code,
      detail: `The zone of ${code} is ${before.zone}; ${content.zone} cannot wait until ${from}, since a zone holds at once for every time that was or will be read in it. Send it without a time to hold from, or send it when that time has come.`,
    }
  })
}
