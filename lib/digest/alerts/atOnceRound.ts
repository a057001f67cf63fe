import type pg from 'pg'
import { localDate } from '@/lib/schedule/sendAt'
import { type Alarm, alarmsOf, beginLook, keepAlarms, keepLook } from '@/lib/store/mail/atOnceLook'
import { enterMails } from '@/lib/store/mail/mailJobs'
import { digestPeople } from '@/lib/store/people/digestPeople'
import { type SamplePlace, type SampleTurns, sampleTurns } from '@/lib/store/read/digest/sampleTurns'
import { inTransaction } from '@/lib/store/scope/transaction'
import { FRESH_ALARM, lookedAt } from './alarm'
import { type AtOnceOccasion, atOnceOccasion } from './atOnceOccasion'
import { atOnceRecipients } from './atOnceRecipients'

/** What is older than this is not told at once any more, ms: the weekly mail has it. */
export const AT_ONCE_FOR_MS = 2 * 86_400_000

/** A turn of a sample, with when it was and when it could first be told, ms UTC. */
type Told = AtOnceOccasion & SamplePlace & { happenedAt: number; at: number }

/**
 * Looks at what has become of samples since the last look, and enters a mail for each who wants to be told at once.
 * What was found and what is entered are kept together, so that a turn is told once, however many servers look and
 * whatever dies; what one look finds of a kind goes to each in one mail. While another server looks, this does nothing.
 * @returns how many turns are new, counted for each who is told.
 */
export async function enterAtOnce({
  app,
  door,
  now,
}: {
  app: pg.Pool
  door: pg.Pool
  now: number
}): Promise<number> {
  return inTransaction(door, async (client) => {
    const last = await beginLook(client)
    if (last === false) return 0
    const turns = await sampleTurns(app, last, now)
    const turned = await turnedAtRisk(client, turns, now)
    await keepLook(client, turns.look)
    // Nobody knows when what was so at the first look, or after a long standstill, became so.
    const isKnown = last !== null && now - last.lookedAt < AT_ONCE_FOR_MS
    const told = [...(isKnown ? turned : []), ...turns.turned.map((one) => ({ ...one, turn: null }))].filter(
      ({ happenedAt, at }) => now - Math.min(happenedAt, at) < AT_ONCE_FOR_MS,
    )
    if (told.length === 0) return 0
    const people = await digestPeople(client)
    return enterMails(
      client,
      told.flatMap((one) => mailsOf(one, people, now)),
    )
  })
}

/** The samples whose turn to at risk is to be told now, after what is kept of their alarms. */
async function turnedAtRisk(client: pg.PoolClient, { pressed }: SampleTurns, now: number): Promise<Told[]> {
  const before = await alarmsOf(
    client,
    pressed.map(({ code }) => code),
  )
  const after = new Map<string, Alarm>()
  const told: Told[] = []
  for (const { code, plant, laboratory, hasLapsed } of pressed) {
    const known = before.get(code)
    const { alarm, isTold } = lookedAt(known ?? FRESH_ALARM, true, now)
    if (isTold || known?.belowSince !== null) after.set(code, alarm)
    // One that goes straight to lapsed is told as that.
    if (isTold && !hasLapsed)
      told.push({ kind: 'at risk', code, plant, laboratory, turn: alarm.turns, happenedAt: now, at: now })
  }
  const above = new Set(pressed.map(({ code }) => code))
  for (const [code, alarm] of before)
    if (!above.has(code) && alarm.belowSince === null) after.set(code, lookedAt(alarm, false, now).alarm)
  await keepAlarms(client, after)
  return told
}

function mailsOf(told: Told, people: Awaited<ReturnType<typeof digestPeople>>, now: number) {
  const today = ({ zone }: { zone: string }) => localDate(now, zone)
  return atOnceRecipients(people, today, told.kind, told, told.at).map((recipient) => ({
    ...recipient,
    occasion: atOnceOccasion(told),
    dueAt: told.at,
    sharing: told.kind,
  }))
}
