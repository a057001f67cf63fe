import type pg from 'pg'
import type { DueMail } from './enterMails'

/** So many occasions go in one mail at most: mail programs cut off what is too long. */
const MOST = 50

/**
 * Makes of mails that were entered in this transaction one for each person and what they share: the first is the mail, and
 * the others are part of it. Only of new ones, since what has its job may be on its way already without them.
 */
export async function gatherMails(client: pg.PoolClient, entered: readonly DueMail[]): Promise<void> {
  const shared = new Map<string, DueMail[]>()
  for (const one of entered) {
    if (one.sharing === undefined) continue
    const key = JSON.stringify([one.personId, one.carriedBy ?? null, one.sharing])
    shared.set(key, [...(shared.get(key) ?? []), one])
  }
  const parts = [...shared.values()].flatMap((mails) =>
    mails.flatMap((mail, index) => {
      const first = mails[index - (index % MOST)]
      return first === undefined || first === mail ? [] : [{ ...mail, partOf: first.occasion }]
    }),
  )
  if (parts.length === 0) return
  await client.query(
    `update digest_mail mail set part_of = part.part_of, state = 'carried'
     from unnest($1::text[], $2::text[], $3::text[]) as part (person_id, occasion, part_of)
     where mail.person_id = part.person_id and mail.occasion = part.occasion`,
    [
      parts.map(({ personId }) => personId),
      parts.map(({ occasion }) => occasion),
      parts.map(({ partOf }) => partOf),
    ],
  )
}
