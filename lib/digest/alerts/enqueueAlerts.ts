import type pg from 'pg'
import { formatLocalDate } from '@/lib/schedule/sendTime'
import { type Alarm, beginAlertPoll, readAlarms, saveAlarms, saveAlertPoll } from '@/lib/store/mail/alertPoll'
import { enqueueMails } from '@/lib/store/mail/mailJobs'
import { listDigestPeople } from '@/lib/store/people/digestPeople'
import {
  findSampleChanges,
  type SampleChanges,
  type SamplePlace,
} from '@/lib/store/read/digest/sampleChanges'
import { withTransaction } from '@/lib/store/scope/transaction'
import { INITIAL_ALARM, updateAlarm } from './alarm'
import { type AlertOccasion, formatOccasion } from './alertOccasion'
import { findAlertRecipients } from './alertRecipients'

/** What is older than this is not told at once any more, ms: the weekly mail has it. */
export const ALERT_MAX_AGE_MS = 2 * 86_400_000

/** A turn of a sample, with when it was and when it could first be told, ms UTC. */
type Alert = AlertOccasion & SamplePlace & { happenedAt: number; at: number }

/**
 * Looks at what has become of samples since the last look, and enters a mail for each who wants to be told at once.
 * What was found and what is entered are kept together, so that a turn is told once, however many servers look and
 * whatever dies; what one look finds of a kind goes to each in one mail. While another server looks, this does nothing.
 * @returns how many turns are new, counted for each who is told.
 */
export async function enqueueAlerts({
  app,
  authPool,
  now,
}: {
  app: pg.Pool
  authPool: pg.Pool
  now: number
}): Promise<number> {
  return withTransaction(authPool, async (client) => {
    const last = await beginAlertPoll(client)
    if (last === false) return 0
    const turns = await findSampleChanges(app, last, now)
    const turned = await findAtRiskAlerts(client, turns, now)
    await saveAlertPoll(client, turns.checkpoint)
    // Nobody knows when what was so at the first look, or after a long standstill, became so.
    const isKnown = last !== null && now - last.checkedAt < ALERT_MAX_AGE_MS
    const told = [...(isKnown ? turned : []), ...turns.changes.map((one) => ({ ...one, turn: null }))].filter(
      ({ happenedAt, at }) => now - Math.min(happenedAt, at) < ALERT_MAX_AGE_MS,
    )
    if (told.length === 0) return 0
    const people = await listDigestPeople(client)
    return enqueueMails(
      client,
      told.flatMap((one) => toMails(one, people, now)),
    )
  })
}

/** The samples whose turn to at risk is to be told now, after what is kept of their alarms. */
async function findAtRiskAlerts(
  client: pg.PoolClient,
  { urgent: pressed }: SampleChanges,
  now: number,
): Promise<Alert[]> {
  const before = await readAlarms(
    client,
    pressed.map(({ code }) => code),
  )
  const after = new Map<string, Alarm>()
  const told: Alert[] = []
  for (const { code, plant, laboratory, hasLapsed } of pressed) {
    const known = before.get(code)
    const { alarm, isTold } = updateAlarm(known ?? INITIAL_ALARM, true, now)
    if (isTold || known?.belowSince !== null) after.set(code, alarm)
    // One that goes straight to lapsed is told as that.
    if (isTold && !hasLapsed)
      told.push({ kind: 'at risk', code, plant, laboratory, turn: alarm.turns, happenedAt: now, at: now })
  }
  const above = new Set(pressed.map(({ code }) => code))
  for (const [code, alarm] of before)
    if (!above.has(code) && alarm.belowSince === null) after.set(code, updateAlarm(alarm, false, now).alarm)
  await saveAlarms(client, after)
  return told
}

function toMails(told: Alert, people: Awaited<ReturnType<typeof listDigestPeople>>, now: number) {
  const today = ({ zone }: { zone: string }) => formatLocalDate(now, zone)
  return findAlertRecipients(people, today, told.kind, told, told.at).map((recipient) => ({
    ...recipient,
    occasion: formatOccasion(told),
    dueAt: told.at,
    batch: told.kind,
  }))
}
