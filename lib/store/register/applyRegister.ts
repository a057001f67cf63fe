import type pg from 'pg'
import { holdsFromAt, type RegisterDocument } from '@/lib/custody/registerDocument'
import { changesTo, entriesNow, REGISTER_LISTS } from '../ledger/registerEntries'
import { type Actor, COMMAND } from '../scope/audit'
import { asWriter } from '../scope/writer'
import { enterChanges, type Refusal, refusalsOf, samplesConcerned, zonesAhead } from './enterRegister'

/** What applying a register document did, in numbers of entries, and of samples derived again. */
export interface RegisterChange {
  added: number
  changed: number
  removed: number
  unchanged: number
  derived: number
}

/**
 * Applies a checked document in one transaction: what is new or different becomes a new version that holds from now,
 * or from the document's `holdsFrom` if that is later; what is absent is taken out. The same document again changes
 * nothing. A zone that would change later is refused, and with it the document. Derives every sample that a change can concern, and records each change as the actor's. Times in ms UTC.
 */
export async function applyRegister(
  pool: pg.Pool,
  document: RegisterDocument,
  now: number,
  actor: Actor = COMMAND,
): Promise<{ change: RegisterChange; refusals: [] } | { change: null; refusals: Refusal[] }> {
  return asWriter(pool, async (client) => {
    const changes = changesTo(await entriesNow(client), document)
    const fromAt = Math.max(now, holdsFromAt(document) ?? now)
    const refusals = [
      ...zonesAhead(changes, fromAt, now).map(({ list, code, detail }) => ({
        pointer: `/${list}/${document[list].findIndex((one) => one.code === code)}/zone`,
        detail,
      })),
      ...(await refusalsOf(client, changes)),
    ]
    if (refusals.length > 0) return { change: null, refusals }
    const codes = await samplesConcerned(client, changes)
    await enterChanges(client, changes, codes, { holdsFromAt: fromAt, actor, now })
    return {
      change: {
        added: changes.filter((one) => one.before === null).length,
        changed: changes.filter((one) => one.before !== null && one.content !== null).length,
        removed: changes.filter((one) => one.content === null).length,
        unchanged:
          REGISTER_LISTS.reduce((sum, list) => sum + document[list].length, 0) -
          changes.filter((one) => one.content !== null).length,
        derived: codes.length,
      },
      refusals: [],
    }
  })
}
