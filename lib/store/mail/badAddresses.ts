import type pg from 'pg'

/** An address that a mail server refused for good, and that has not been put right since. */
export interface BadAddress {
  personId: string
  name: string
  address: string
  /** The mail server's own words. */
  said: string | null
  /** When it said so, ms UTC. */
  at: number
}

/** Of everyone in the programme whose last mail was refused at the address that they still have, by name. */
export async function badAddresses(door: pg.Pool | pg.PoolClient): Promise<BadAddress[]> {
  const { rows } = await door.query<Omit<BadAddress, 'at'> & { at: Date }>(
    `select person.id as "personId", name, address, said, ended_at as at
     from person left join digest_preference on digest_preference.person_id = person.id
       join lateral (select state, address, said, ended_at from digest_mail
         where digest_mail.person_id = person.id and state in ('sent', 'refused')
         order by ended_at desc limit 1) as last on true
     where left_at is null and state = 'refused' and address = coalesce(mailbox, email)
     order by name, person.id`,
  )
  return rows.map((row) => ({ ...row, at: row.at.getTime() }))
}
