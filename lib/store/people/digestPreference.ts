import type pg from 'pg'
import { ALERT_KINDS, type AlertKind, DEFAULT_ALERTS } from '@/lib/judgement/alertKinds'
import type { Actor } from '../scope/audit'
import { getPrisma, type Transaction, transact } from '../scope/prisma'

/** A person's choices about the weekly mail and alerts. */
export interface DigestPreference {
  /** BCP 47 tag for dates. */
  language: string
  isWanted: boolean
  wantsQuietLine: boolean
  standInId: string | null
  /** First and last local day of the stand-in, year-month-day. */
  standInFrom: string | null
  standInUntil: string | null
  alerts: readonly AlertKind[]
  /** Stopped by a link, including alerts of people they stand in for, until they choose some again. */
  alertsAreStopped: boolean
}

/** The defaults for someone who has chosen nothing. */
export const DEFAULT_PREFERENCE: DigestPreference = {
  language: 'en-GB',
  isWanted: true,
  wantsQuietLine: true,
  standInId: null,
  standInFrom: null,
  standInUntil: null,
  alerts: DEFAULT_ALERTS,
  alertsAreStopped: false,
}

const toDay = (date: Date | null) => date?.toISOString().slice(0, 10) ?? null
const toDate = (day: string | null) => (day === null ? null : new Date(day))

/** A person's choices, or the defaults. */
export function readDigestPreference(authPool: pg.Pool, personId: string): Promise<DigestPreference> {
  return readPreferenceIn(getPrisma(authPool), personId)
}

async function readPreferenceIn(db: Transaction, personId: string): Promise<DigestPreference> {
  const row = await db.digestPreference.findUnique({ where: { personId } })
  if (!row) return DEFAULT_PREFERENCE
  const chosen = await db.atOnceChoice.findMany({ where: { personId } })
  const { language, isWanted, wantsQuietLine, standInId, standInFrom, standInUntil, atOnceIsStopped } = row
  return {
    language,
    isWanted,
    wantsQuietLine,
    standInId,
    standInFrom: toDay(standInFrom),
    standInUntil: toDay(standInUntil),
    alertsAreStopped: atOnceIsStopped,
    alerts: ALERT_KINDS.filter(
      (kind) => chosen.find((one) => one.kind === kind)?.isWanted ?? DEFAULT_ALERTS.includes(kind),
    ),
  }
}

/** Ensures that a person has a row of preferences, and locks it until the transaction ends. */
async function lockPreference(db: Transaction, personId: string): Promise<void> {
  await db.digestPreference.createMany({ data: { personId }, skipDuplicates: true })
  await db.$executeRaw`select from digest_preference where person_id = ${personId} for update`
}

/**
 * Saves a person's choices and records them. If they turn a mail on again, links mailed earlier to stop it no longer
 * work: those stated an older wish. `now` in ms UTC.
 */
export async function setDigestPreference(
  authPool: pg.Pool,
  personId: string,
  after: Omit<DigestPreference, 'alertsAreStopped'>,
  actor: Actor,
  now: number,
): Promise<void> {
  await transact(authPool, async (db, audit) => {
    await lockPreference(db, personId)
    const before = await readPreferenceIn(db, personId)
    const { language, isWanted, wantsQuietLine, standInId, standInFrom, standInUntil, alerts } = after
    const isWantedAgain = isWanted && !before.isWanted
    const wantsAlertsAgain = alerts.length > 0 && before.alertsAreStopped
    await db.digestPreference.updateMany({
      where: { personId },
      data: {
        language,
        isWanted,
        wantsQuietLine,
        standInId,
        standInFrom: toDate(standInFrom),
        standInUntil: toDate(standInUntil),
        ...(isWantedAgain ? { tokenSerial: { increment: 1 } } : {}),
        ...(wantsAlertsAgain ? { atOnceIsStopped: false, atOnceSerial: { increment: 1 } } : {}),
      },
    })
    await setAlertChoice(db, personId, alerts, now)
    audit(actor, now, {
      what: 'chose about the weekly mail',
      subject: personId,
      before: toAuditState(before),
      after: toAuditState(after),
    })
  })
}

/** The audit log never changes the names of its fields, so that entries of all versions compare. */
function toAuditState({ alerts, alertsAreStopped, ...others }: Partial<DigestPreference>) {
  return { ...others, atOnce: alerts, atOnceIsStopped: alertsAreStopped }
}

/** Saves which alerts a person wants, and which not. A choice that they made before keeps its time; `now` in ms UTC. */
async function setAlertChoice(
  db: Transaction,
  personId: string,
  kinds: readonly AlertKind[],
  now: number,
): Promise<void> {
  await db.$executeRaw`
    insert into at_once_choice (person_id, kind, is_wanted, since_at)
    select ${personId}, kind, kind = any(${kinds}), ${new Date(now)} from unnest(${ALERT_KINDS}::text[]) as kind
    on conflict (person_id, kind) do update set is_wanted = excluded.is_wanted, since_at = excluded.since_at
    where at_once_choice.is_wanted <> excluded.is_wanted`
}

/** The result of a stop link: done, already done, or invalid. */
export type StopResult = 'stopped' | 'was stopped' | 'no such link'

/** The mails that can be stopped separately. */
export const MAIL_LISTS = ['weekly', 'alerts'] as const
export type MailList = (typeof MAIL_LISTS)[number]

/** The content of a stop link. `serial` invalidates older links. */
export interface DigestStop {
  personId: string
  serial: number
  list: MailList
}

/** Stops a person's mail by a link, and records it. `now` in ms UTC. */
export async function stopDigest(
  authPool: pg.Pool,
  { personId, serial, list }: DigestStop,
  address: string,
  now: number,
): Promise<StopResult> {
  const isWeekly = list === 'weekly'
  return transact(authPool, async (db, audit) => {
    const person = await db.person.findUnique({ where: { id: personId }, select: { name: true } })
    if (!person) return 'no such link'
    await lockPreference(db, personId)
    const kept = await db.digestPreference.findUniqueOrThrow({ where: { personId } })
    if (serial !== (isWeekly ? kept.tokenSerial : kept.atOnceSerial)) return 'no such link'
    if (isWeekly ? !kept.isWanted : kept.atOnceIsStopped) return 'was stopped'
    await db.digestPreference.updateMany({
      where: { personId },
      data: isWeekly ? { isWanted: false } : { atOnceIsStopped: true },
    })
    if (!isWeekly) await setAlertChoice(db, personId, [], now)
    const actor = { who: `person ${personId}`, name: person.name, address }
    const what = isWeekly ? 'stopped the weekly mail by its link' : 'stopped mails at once by their link'
    audit(actor, now, { what, subject: personId })
    return 'stopped'
  })
}

/** The address that a person's mail goes to instead of their own, null if none, and who shares it, by name. */
export async function readMailbox(authPool: pg.Pool, personId: string) {
  const db = getPrisma(authPool)
  const mailbox = (await db.digestPreference.findUnique({ where: { personId } }))?.mailbox ?? null
  if (mailbox === null) return { mailbox, sharers: [] }
  const sharers = await db.person.findMany({
    select: { id: true, name: true },
    where: {
      id: { not: personId },
      leftAt: null,
      OR: [
        { digestPreference: { mailbox } },
        { email: mailbox, OR: [{ digestPreference: null }, { digestPreference: { mailbox: null } }] },
      ],
    },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  return { mailbox, sharers }
}

/** Sets the address that a person's mail goes to (null: their own), and records a change. `now` in ms UTC. */
export async function setMailbox(
  authPool: pg.Pool,
  personId: string,
  mailbox: string | null,
  actor: Actor,
  now: number,
): Promise<void> {
  await transact(authPool, async (db, audit) => {
    const person = await db.person.findUnique({ where: { id: personId } })
    if (!person) return
    await lockPreference(db, personId)
    const kept = await db.digestPreference.findUniqueOrThrow({ where: { personId } })
    const [before, after] = [
      { mailbox: kept.mailbox },
      { mailbox: mailbox === person.email ? null : mailbox },
    ]
    if (before.mailbox === after.mailbox) return
    await db.digestPreference.update({ where: { personId }, data: after })
    audit(actor, now, { what: 'set where mail goes', subject: personId, before, after })
  })
}
