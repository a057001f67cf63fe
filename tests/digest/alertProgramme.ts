import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { Role } from '@/lib/policy/personRoles'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister, KIT, makeKits, smallRegister, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase } from '@/tests/setup/database'
import type { MailServer } from './mailServer'
import { ADMINISTRATOR, addPerson, createDelivery, NOW, sendDue } from './programme'

export const MINUTE = 60_000
export const HOUR = 60 * MINUTE
export const DAY = 24 * HOUR
const CONTACT: Role = { role: 'plant contact', place: 'PL1' }
const PEOPLE: readonly [string, Role][] = [
  ['ann', CONTACT],
  ['ben', { role: 'plant contact', place: 'PL2' }],
  ['des', { role: 'laboratory desk', place: 'LAB' }],
  ['ada', ADMINISTRATOR],
  ['mia', CONTACT],
]

/**
 * A programme of its own (events stay for good) whose people get no weekly mail, with a clock that a test sets. The first
 * plant has so many kits.
 */
export async function createAlertProgramme(office: MailServer, kitCount = 1) {
  const database = await makeTestDatabase()
  const own = makeKits(kitCount)
  const kits = own.map(({ code }) => code)
  const [, other] = smallRegister().kits as [object, object]
  await applyRegister(database.app, checkedRegister({ kits: [...own, other] }), NOW - 60 * DAY)
  const ids: Record<string, string> = {}
  for (const [name, role] of PEOPLE) ids[name] = await addPerson(database, `${name}@test.invalid`, [role])
  await database.authPool.query(
    'insert into digest_preference (person_id, is_wanted) select id, false from person',
  )
  office.taken.splice(0)
  let count = 0
  const programme = {
    ...database,
    ids,
    kits,
    now: NOW,
    /** Chooses all kinds of alerts, by default an hour before the start. */
    async choose(name: string, since = NOW - HOUR) {
      await database.authPool.query(
        `insert into at_once_choice (person_id, kind, since_at)
         select $1, kind, $2 from unnest('{at risk,lapsed,arrived}'::text[]) as kind`,
        [ids[name], new Date(since)],
      )
    },
    /** Reports an event of `KIT` now, as a file does unless `reporter` is given. @returns its key. */
    async report(
      kind: string,
      at: number,
      more: Record<string, unknown> = {},
      reporter: NamedReporter = UNRESTRICTED,
    ) {
      count += 1
      const event = {
        source: 'dock',
        id: `${count}`,
        sample: KIT,
        kind,
        at: new Date(at).toISOString(),
        ...more,
      }
      await acceptEvents(database.app, wire(event), reporter, programme.now)
      return `dock/${count}`
    },
    /** Dispatches all kits of the first plant in one consignment. @returns a function that reports an event of it. */
    async dispatchAll() {
      const consigned = { service: 'road', waybill: 'W 1' }
      for (const sample of kits) await programme.report('dispatched', programme.now, { sample, ...consigned })
      return (kind: string, more: Record<string, unknown> = {}) =>
        programme.report(kind, programme.now, { sample: undefined, ...consigned, ...more })
    },
    tick: () => sendDue(createDelivery(office.url, database, { now: () => programme.now })),
    /** The mails that arrived since the last call, by address. */
    async arrived() {
      const mails = (await office.read()).map(
        ({ to, subject }) => `${[to].flat()[0]?.value[0]?.address}: ${subject}`,
      )
      office.taken.splice(0)
      return mails.sort()
    },
    /** The rows of alerts. */
    async rows() {
      const { rows } = await database.authPool.query<{ email: string; occasion: string; state: string }>(
        `select email, occasion, state from digest_mail join person on id = person_id
         where occasion !~ '-W' order by email`,
      )
      return rows
    },
  }
  return programme
}

/** What `arrived` returns if these people got an alert about `KIT`. */
export function formatMails(names: readonly string[], what: string): string[] {
  return names.map((name) => `${name}@test.invalid: Holdfast: ${formatKitCode(KIT)} ${what}`)
}
