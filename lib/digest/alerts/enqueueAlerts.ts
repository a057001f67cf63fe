import type pg from 'pg'
import type { Actor } from '@/lib/schedule/act'
import { formatLocalDate } from '@/lib/schedule/sendTime'
import { type Alarm, beginAlertPoll, readAlarms, saveAlarms, saveAlertPoll } from '@/lib/store/mail/alertPoll'
import { enqueueMails } from '@/lib/store/mail/mailJobs'
import { MAX_CLOCK_DIFFERENCE_MS } from '@/lib/store/mail/queueClock'
import { listDigestPeople } from '@/lib/store/people/digestPeople'
import {
  findSampleChanges,
  type SampleChanges,
  type SamplePlace,
} from '@/lib/store/read/digest/sampleChanges'
import { withTransaction } from '@/lib/store/scope/transaction'
import { INITIAL_ALARM, takeBackAlarm, updateAlarm } from './alarm'
import { type AlertOccasion, formatOccasion, hashFinding } from './alertOccasion'
import { findAlertRecipients } from './alertRecipients'

/** Older changes are not alerted, ms: the weekly mail has them. */
export const ALERT_MAX_AGE_MS = 2 * 86_400_000

/** A change of a sample, and from when it could be alerted, ms UTC. */
type Alert = AlertOccasion &
  SamplePlace & {
    at: number
    /** Null: whoever sees the sample. */
    toldTo: readonly Actor[] | null
  }

/**
 * Finds samples that changed since the last poll, and enqueues an alert for each person who wants it. The checkpoint and the
 * alerts are saved in one transaction, so a change is alerted once whatever crashes and however many servers poll. A poll's alerts
 * of one kind go to a person as one mail. While another server polls, this does nothing.
 * @returns the number of new alerts, counted for each person.
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
    // The clock was ahead: what that poll took for too old is read again. Alerts that were made have a row and stay as they are.
    const wasAhead = last !== null && last.checkedAt > now + MAX_CLOCK_DIFFERENCE_MS
    const start = wasAhead ? { checkedAt: now - ALERT_MAX_AGE_MS, eventSeq: null } : last
    const changes = await findSampleChanges(app, start, now)
    const atRisk = await findAtRiskAlerts(client, changes, now, wasAhead)
    await saveAlertPoll(client, changes.checkpoint)
    // At the first poll, or after a long outage, it is unknown when a sample became at risk.
    const isKnown = last !== null && now - last.checkedAt < ALERT_MAX_AGE_MS
    const isRecent = (at: number) => now - at < ALERT_MAX_AGE_MS
    const alerts: Alert[] = [
      ...(isKnown ? atRisk : []),
      ...changes.changes
        .filter(({ happenedAt, at }) => isRecent(Math.min(happenedAt, at)))
        .map((one) => ({ ...one, instance: null, toldTo: null })),
      // A finding waits for its ruling however long ago it was made.
      ...changes.holds
        .filter(({ at }) => isRecent(at))
        .map((one) => ({ ...one, instance: hashFinding(one.finding) })),
    ]
    if (alerts.length === 0) return 0
    const people = await listDigestPeople(client)
    return enqueueMails(
      client,
      alerts.flatMap((one) => toMails(one, people, now)),
      now,
    )
  })
}

/** The samples whose alarms go off now; saves the alarms. `wasAhead`: those that only went off ahead of time are taken back. */
async function findAtRiskAlerts(
  client: pg.PoolClient,
  { urgent }: SampleChanges,
  now: number,
  wasAhead: boolean,
): Promise<Alert[]> {
  const before = await readAlarms(
    client,
    urgent.map(({ code }) => code),
  )
  const after = new Map<string, Alarm>()
  const alerts: Alert[] = []
  for (const { code, plant, laboratory, hasLapsed } of urgent) {
    const known = before.get(code)
    const { alarm, isAlerted } = updateAlarm(known ?? INITIAL_ALARM, true, now)
    if (isAlerted || known?.belowSince !== null) after.set(code, alarm)
    // A sample that lapsed meanwhile has an alert for that.
    if (isAlerted && !hasLapsed)
      alerts.push({
        kind: 'at risk',
        code,
        plant,
        laboratory,
        instance: `${alarm.alertCount}`,
        at: now,
        toldTo: null,
      })
  }
  const atRisk = new Set(urgent.map(({ code }) => code))
  for (const [code, alarm] of before)
    if (!atRisk.has(code) && alarm.belowSince === null)
      after.set(code, wasAhead ? takeBackAlarm(alarm, now) : updateAlarm(alarm, false, now).alarm)
  await saveAlarms(client, after)
  return alerts
}

function toMails(alert: Alert, people: Awaited<ReturnType<typeof listDigestPeople>>, now: number) {
  const today = ({ zone }: { zone: string }) => formatLocalDate(now, zone)
  return findAlertRecipients(people, today, alert.kind, alert, alert.at, alert.toldTo).map((recipient) => ({
    ...recipient,
    occasion: formatOccasion(alert),
    dueAt: alert.at,
    batch: alert.kind,
  }))
}
