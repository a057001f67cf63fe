import type pg from 'pg'
import { type Role, type Roles, SEES_SAMPLES, toRoles } from '@/lib/policy/personRoles'
import type { AtOnceKind } from './atOnceChoice'

/** Someone who may get the weekly mail, with what they are and what they chose. */
export interface DigestPerson extends Roles {
  id: string
  email: string
  name: string
  /** IANA zone. */
  zone: string
  /** Since when they are known, ms UTC: a mail that was due before is not theirs. */
  knownSince: number
  /** BCP 47 tag by which dates are written. */
  language: string
  isWanted: boolean
  wantsQuietLine: boolean
  /** An address that several may share; null: their own. */
  mailbox: string | null
  /** Who stands in for them, on local days from the first to the last, as year-month-day. */
  standIn: { id: string; from: string; until: string } | null
  tokenSerial: number
  /** What they want to be told at once, and since when, ms UTC. */
  atOnce: Readonly<Partial<Record<AtOnceKind, number>>>
  /** They have stopped what is told at once, that of those they stand in for too. */
  atOnceIsStopped: boolean
  atOnceSerial: number
}

interface StoredPerson extends Omit<DigestPerson, 'knownSince' | 'standIn' | keyof Roles> {
  roles: Role[]
  knownSince: Date
  standInId: string | null
  standInFrom: string | null
  standInUntil: string | null
}

/** Everyone who is in the programme and is something that has to act, by id. Works as `holdfast_door`. */
export async function digestPeople(door: pg.Pool | pg.PoolClient): Promise<DigestPerson[]> {
  const { rows } = await door.query<StoredPerson>(
    `select person.id, email, name, zone, created_at as "knownSince",
       jsonb_agg(jsonb_build_object('role', role, 'place', place) order by place) as roles,
       coalesce(language, 'en-GB') as language, coalesce(is_wanted, true) as "isWanted",
       coalesce(wants_quiet_line, true) as "wantsQuietLine", mailbox, coalesce(token_serial, 0) as "tokenSerial",
       coalesce(at_once_is_stopped, false) as "atOnceIsStopped", coalesce(at_once_serial, 0) as "atOnceSerial",
       coalesce((select jsonb_object_agg(kind, (extract(epoch from since_at) * 1000)::bigint)
         from at_once_choice where at_once_choice.person_id = person.id), '{}') as "atOnce",
       stand_in_id as "standInId", stand_in_from::text as "standInFrom", stand_in_until::text as "standInUntil"
     from person join person_role on person_role.person_id = person.id
       left join digest_preference on digest_preference.person_id = person.id
     where left_at is null
     group by person.id, digest_preference.person_id
     having bool_or(role = any($1))
     order by person.id`,
    [SEES_SAMPLES],
  )
  return rows.map(({ knownSince, standInId, standInFrom, standInUntil, roles, ...rest }) => ({
    ...rest,
    ...toRoles(roles),
    knownSince: knownSince.getTime(),
    standIn:
      standInId && standInFrom && standInUntil
        ? { id: standInId, from: standInFrom, until: standInUntil }
        : null,
  }))
}
