import type pg from 'pg'
import { z } from 'zod'
import { getRegister } from '../ledger/currentRegister'
import { statement } from '../scope/statement'
import { declareCatchUp, writeInTurn } from './catchUp'
import { derive } from './derive'
import { touchSamples } from './relatedEvents'

/**
 * The condition that a sample's row does not hold at $1: an event or a limit has come into effect since it was derived, or, if
 * the clock was ahead then, one has not yet.
 */
export const IS_DUE = '(derive_again_at <= $1 or holds_from_at > $1)'

const DUE = statement(z.object({ code: z.string() }), `select code from sample where ${IS_DUE}`)

/**
 * Derives the samples with events or limits that have come into effect by `now` (ms UTC), or that were derived at a later time
 * and have not. Calls `fallBehind` if it has to wait for a writer. Returns how many.
 */
export function deriveDueSamples(
  pool: pg.Pool,
  now: number,
  fallBehind: () => void = () => {},
): Promise<number> {
  return writeInTurn(
    pool,
    async (client) => {
      const due = await DUE.all(client, [new Date(now)])
      if (due.length === 0) return 0
      await derive(client, touchSamples(due.map(({ code }) => code)), await getRegister(pool, client), now)
      return due.length
    },
    fallBehind,
  )
}

/** Derives what is due before a page is read. */
export const deriveWithTimeout = declareCatchUp('Deriving what is due', deriveDueSamples)
