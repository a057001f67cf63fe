import type pg from 'pg'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'

/** Keeps the IANA zone in which a person reads times, and records it where it is another. `now` in ms UTC. */
export async function setOwnZone(
  door: pg.Pool,
  personId: string,
  zone: string,
  actor: Actor,
  now: number,
): Promise<void> {
  await inTransaction(door, async (client) => {
    const { rows } = await client.query<{ zone: string }>(
      'select zone from person where id = $1 for update',
      [personId],
    )
    const [before] = rows
    if (!before || before.zone === zone) return
    await client.query('update person set zone = $2, updated_at = $3 where id = $1', [
      personId,
      zone,
      new Date(now),
    ])
    await record(client, actor, [{ what: 'chose a zone', subject: personId, before, after: { zone } }], now)
  })
}
