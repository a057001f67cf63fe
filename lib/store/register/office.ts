import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { type Calendar, DEFAULT_WORKDAYS } from '@/lib/hold/calendar'
import { getWeekday, parseIsoDate } from '@/lib/hold/zone'
import { getRegister } from '../ledger/currentRegister'
import { type Actor, appendToAuditLog } from '../scope/audit'
import { withScope } from '../scope/scope'
import { command, statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { getWriters } from '../scope/writers'

const office = z.object({
  zone: z.string(),
  /** ISO weekdays, 1 is Monday. */
  weekdays: z.array(z.number()),
  /** Local dates on which the office is closed, sorted. */
  closed: z.array(z.string()),
})
export type Office = z.infer<typeof office>

const READ_OFFICE = statement(office, 'select zone, weekdays, closed::text[] as closed from office')

export async function readOffice(db: Queryable, register: Register): Promise<Office> {
  return (await READ_OFFICE.first(db)) ?? getUsualOffice(register)
}

/** Until it is set: Monday to Friday in the zone of the first laboratory by code. */
export function getUsualOffice(register: Register): Office {
  const first = [...register.laboratories.keys()].sort()[0]
  return {
    zone: (first && register.getZone(first)) ?? 'UTC',
    weekdays: [...DEFAULT_WORKDAYS],
    closed: [],
  }
}

/** The same in a transaction of its own. */
export function getOffice(pool: pg.Pool): Promise<Office> {
  return withScope(pool, 'all', async (client) => readOffice(client, await getRegister(pool, client)))
}

/** The days on which the office is open. */
export function toOfficeCalendar({ zone, weekdays, closed }: Office): Calendar {
  const open = new Set(weekdays.map((weekday) => weekday % 7))
  const shut = new Set(closed.map(parseIsoDate))
  return { zone, isOpen: (day) => open.has(getWeekday(day)) && !shut.has(day) }
}

const SAVE_OFFICE = command(
  `insert into office (zone, weekdays, closed) values ($1, $2, $3::date[])
   on conflict (id) do update set (zone, weekdays, closed) = (excluded.zone, excluded.weekdays, excluded.closed)`,
)

/** `now` in ms UTC. */
export async function saveOffice(pool: pg.Pool, after: Office, actor: Actor, now: number): Promise<void> {
  await withScope(getWriters(pool), 'all', async (client) => {
    const before = await READ_OFFICE.first(client)
    await SAVE_OFFICE.run(client, [after.zone, after.weekdays, after.closed])
    await appendToAuditLog(client, actor, [{ what: 'set the office’s days', before, after }], now)
  })
}
