import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import type { Role } from '@/lib/policy/personRoles'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'

/** An e-mail address as people are known by. */
export function canonicalEmail(given: string): string {
  return given.trim().toLowerCase()
}

/** Whether a text has the form of an e-mail address. */
export function isEmail(text: string): boolean {
  return text.length <= 254 && /^[^\s<>@]+@[^\s<>@]+\.[^\s<>@.]+$/.test(text)
}

/**
 * Sees to it that there is a person of this address who is all of these (and keeps what else they are), and records
 * it where anything changed. Someone who had left is back. Who is new reads times in `zone`, else in UTC. `now` in ms UTC.
 * @returns the person's id.
 */
export async function ensurePerson(
  door: pg.Pool,
  person: { email: string; name: string; zone?: string; roles: readonly Role[] },
  actor: Actor,
  now: number,
): Promise<string> {
  const email = canonicalEmail(person.email)
  return inTransaction(door, async (client) => {
    const made = await client.query<{ id: string }>(
      `insert into person (id, email, name, zone, email_verified) values ($1, $2, $3, $4, true)
       on conflict (email) do nothing returning id`,
      [randomUUID(), email, person.name, person.zone ?? 'UTC'],
    )
    const { rows } = await client.query<{ id: string; hasLeft: boolean }>(
      'select id, left_at is not null as "hasLeft" from person where email = $1 for update',
      [email],
    )
    const { id, hasLeft } = rows[0] as (typeof rows)[number]
    if (hasLeft)
      await client.query('update person set left_at = null, updated_at = $2 where id = $1', [
        id,
        new Date(now),
      ])
    const added = await client.query<Role>(
      `insert into person_role (person_id, role, place)
       select $1, role, place from unnest($2::text[], $3::text[]) as wanted (role, place)
       on conflict (person_id, role, place) do nothing returning role, place`,
      [id, person.roles.map(({ role }) => role), person.roles.map(({ place }) => place)],
    )
    const isNew = made.rowCount === 1
    if (isNew || hasLeft || added.rowCount)
      await record(
        client,
        actor,
        [
          {
            what: isNew ? 'entered a person' : 'changed a person',
            subject: id,
            after: {
              email,
              ...(isNew ? { name: person.name } : {}),
              added: added.rows,
              ...(hasLeft ? { isBack: true } : {}),
            },
          },
        ],
        now,
      )
    return id
  })
}
