import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { type Calendar, USUAL_WORKDAYS } from '@/lib/hold/calendar'
import { parseDay, weekdayOf } from '@/lib/hold/zone'
import { currentRegister } from '../ledger/currentRegister'
import { type Actor, record } from '../scope/audit'
import { inScope } from '../scope/scope'
import { command, statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/** Where and when the programme's office works. */
const office = z.object({
  zone: z.string(),
  /** ISO weekdays, 1 is Monday. */
  weekdays: z.array(z.number()),
  /** Local dates on which nobody is there, in order. */
  closed: z.array(z.string()),
})
export type Office = z.infer<typeof office>

const ENTERED = statement(office, 'select zone, weekdays, closed::text[] as closed from office')

/** As it was entered; until then Monday to Friday in the zone of the first laboratory by code. */
export async function officeOf(db: Queryable, register: Register): Promise<Office> {
  const entered = await ENTERED.first(db)
  if (entered) return entered
  const first = [...register.laboratories.keys()].sort()[0]
  return {
    zone: (first && register.zoneOfPlace(first)) ?? 'UTC',
    weekdays: [...USUAL_WORKDAYS],
    closed: [],
  }
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

const ENTER = command(
  `insert into office (zone, weekdays, closed) values ($1, $2, $3::date[])
   on conflict (id) do update set (zone, weekdays, closed) = (excluded.zone, excluded.weekdays, excluded.closed)`,
)

/** Enters it in the place of what was there, and records that. `now` in ms UTC. */
export async function enterOffice(pool: pg.Pool, after: Office, actor: Actor, now: number): Promise<void> {
  await inScope(pool, 'all', async (client) => {
    const before = await ENTERED.first(client)
    await ENTER.run(client, [after.zone, after.weekdays, after.closed])
    await record(client, actor, [{ what: 'set the office’s days', before, after }], now)
  })
}
