import type pg from 'pg'
import { z } from 'zod'
import { DAY } from '@/lib/hold/zone'
import { ALERT_KINDS, type AlertKind, DEFAULT_ALERTS } from '@/lib/judgement/alertKinds'
import { ROLE_NAMES, SAMPLE_ROLES, toRoles } from '@/lib/policy/personRoles'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'

const storedPerson = z.object({
  id: z.string(),
  email: z.string(),
  name: z.string(),
  /** IANA zone. */
  zone: z.string(),
  knownSince: z.date(),
  roles: z.array(z.object({ role: z.enum(ROLE_NAMES), place: z.string() })),
  /** BCP 47 tag for dates. */
  language: z.string(),
  isWanted: z.boolean(),
  wantsQuietLine: z.boolean(),
  /** A shared address; null for the person's own. */
  mailbox: z.string().nullable(),
  tokenSerial: z.number(),
  /** They stopped alerts by a link, including those of people they stand in for. */
  alertsAreStopped: z.boolean(),
  alertsSerial: z.number(),
  /** The alerts that they chose, and since when, ms UTC; null for those that they chose not to get. */
  alerts: z.partialRecord(z.enum(ALERT_KINDS), z.number().nullable()),
  standInId: z.string().nullable(),
  standInFrom: z.string().nullable(),
  standInUntil: z.string().nullable(),
})

const EVERYONE = statement(
  storedPerson,
  `select person.id, email, name, zone, created_at as "knownSince",
     jsonb_agg(jsonb_build_object('role', role, 'place', place) order by place) as roles,
     coalesce(language, 'en-GB') as language, coalesce(is_wanted, true) as "isWanted",
     coalesce(wants_quiet_line, true) as "wantsQuietLine", mailbox, coalesce(token_serial, 0) as "tokenSerial",
     coalesce(at_once_is_stopped, false) as "alertsAreStopped", coalesce(at_once_serial, 0) as "alertsSerial",
     coalesce((select jsonb_object_agg(kind, case when is_wanted then (extract(epoch from since_at) * 1000)::bigint end)
       from at_once_choice where at_once_choice.person_id = person.id), '{}') as "alerts",
     stand_in_id as "standInId", stand_in_from::text as "standInFrom", stand_in_until::text as "standInUntil"
   from person join person_role on person_role.person_id = person.id
     left join digest_preference on digest_preference.person_id = person.id
   where left_at is null
   group by person.id, digest_preference.person_id
   having bool_or(role = any($1))
   order by person.id`,
)

function getAlerts(
  chosen: z.infer<typeof storedPerson>['alerts'],
  knownSince: number,
): Partial<Record<AlertKind, number>> {
  return Object.fromEntries(
    ALERT_KINDS.flatMap((kind) => {
      const since = chosen[kind] === undefined && DEFAULT_ALERTS.includes(kind) ? knownSince : chosen[kind]
      return since == null ? [] : [[kind, since]]
    }),
  )
}

function toDigestPerson(row: z.infer<typeof storedPerson>) {
  const { knownSince, standInId, standInFrom, standInUntil, roles, alerts, ...rest } = row
  return {
    ...rest,
    ...toRoles(roles),
    /** When they were added, ms UTC: mail that was due earlier is not theirs. */
    knownSince: knownSince.getTime(),
    /** The alerts they get, and since when, ms UTC. */
    alerts: getAlerts(alerts, knownSince.getTime()),
    /** Their stand-in, from the first to the last local day, year-month-day. */
    standIn:
      standInId && standInFrom && standInUntil
        ? { id: standInId, from: standInFrom, until: standInUntil }
        : null,
  }
}

/** Someone who may get the weekly mail, with roles and preferences. */
export type DigestPerson = ReturnType<typeof toDigestPerson>

/** Everyone who has not left and has a role that acts on samples, by id. */
export async function listDigestPeople(authPool: pg.Pool | pg.PoolClient): Promise<DigestPerson[]> {
  return (await EVERYONE.all(authPool, [SAMPLE_ROLES])).map(toDigestPerson)
}

const INACTIVE = statement(
  z.object({ id: z.string() }),
  `select id from unnest($1::text[]) as person (id)
   where not exists (select from audit_entry
       where at > $2 and who = 'person ' || id and outcome = 'done' and what !~ '^signed (in|out)')
     and not exists (select from event where received_at > $2 and reported_by = 'person ' || id)`,
)

/**
 * Those of these people without any recorded action in the two weeks before `now` (ms UTC); signing in or out does not
 * count.
 */
export async function findInactivePeople(
  app: pg.Pool,
  ids: readonly string[],
  now: number,
): Promise<ReadonlySet<string>> {
  if (ids.length === 0) return new Set()
  const since = new Date(now - 14 * DAY)
  const quiet = await withScope(app, 'all', (client) => INACTIVE.all(client, [ids, since]))
  return new Set(quiet.map(({ id }) => id))
}
