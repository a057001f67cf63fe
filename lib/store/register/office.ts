import type pg from 'pg'
import type { Register } from '@/lib/custody/register'
import { type Calendar, USUAL_WORKDAYS } from '@/lib/hold/calendar'
import { parseDay, weekdayOf } from '@/lib/hold/zone'
import { currentRegister } from '../ledger/currentRegister'
import { type Actor, record } from '../scope/audit'
import { inScope } from '../scope/scope'
import type { Queryable } from '../scope/transaction'

/** Where and when the programme's office works. */
export interface Office {
  zone: string
  /** ISO weekdays, 1 is Monday. */
  weekdays: number[]
  /** Local dates on which nobody is there, in order. */
  closed: string[]
}

/** As it was entered; until then Monday to Friday in the zone of the first laboratory by code. */
export async function officeOf(db: Queryable, register: Register): Promise<Office> {
  const { rows } = await db.query<Office>('select zone, weekdays, closed::text[] as closed from office')
  const first = [...register.laboratories.keys()].sort()[0]
  return (
    rows[0] ?? {
      zone: (first && register.zoneOfPlace(first)) ?? 'UTC',
      weekdays: [...USUAL_WORKDAYS],
      closed: [],
    }
  )
}

/** The same for a page. */
export function officeNow(pool: pg.Pool): Promise<Office> {
  return inScope(pool, 'all', async (client) => officeOf(client, await currentRegister(pool, client)))
}

/** The same as days on which someone is there. */
export function officeDays({ zone, weekdays, closed }: Office): Calendar {
  const open = new Set(weekdays.map((weekday) => weekday % 7))
  const shut = new Set(closed.map(parseDay))
  return { zone, isOpen: (day) => open.has(weekdayOf(day)) && !shut.has(day) }
}

/** Enters it in the place of what was there, and records that. `now` in ms UTC. */
export async function enterOffice(pool: pg.Pool, after: Office, actor: Actor, now: number): Promise<void> {
  await inScope(pool, 'all', async (client) => {
    const { rows } = await client.query<Office>('select zone, weekdays, closed::text[] as closed from office')
    await client.query(
      `insert into office (zone, weekdays, closed) values ($1, $2, $3::date[])
       on conflict (id) do update set (zone, weekdays, closed) = (excluded.zone, excluded.weekdays, excluded.closed)`,
      [after.zone, after.weekdays, after.closed],
    )
    await record(client, actor, [{ what: 'set the office’s days', before: rows[0], after }], now)
  })
}
