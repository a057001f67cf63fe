import { formatDeadline, formatLongDeadline, formatLongInstant } from '@/app/ui/words/instant'
import { listEntries, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { computeDueAt } from '@/lib/hold/due'
import { findInstants } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { AWAITED_LABELS, MILESTONE_LABELS } from '@/lib/schedule/milestoneText'
import { findMilestoneZone } from '../ui/words/clock'
import type { FormValues } from './forms/formValues'
import { readValidLimits } from './forms/protocolForm'

/**
 * What the limits of a form would mean for a sample of one plant and laboratory, a sentence each: "Cut Friday 30 October,
 * 16:10 in Lisbon: in the chamber by …". Empty where plant, laboratory or start is not filled in. `now` in ms UTC.
 */
export function describeDueDates(
  t: Translate,
  values: FormValues,
  register: RegisterDocument,
  now: number,
): string[] {
  const plant = register.plants.find(({ code }) => code === values.tryPlant)
  const laboratory = register.laboratories.find(({ code }) => code === values.tryLaboratory)
  const local = parseLocalTime(values.tryStart)
  if (!plant || !laboratory || local === null) return []
  const calendar = new Register(listEntries(register, Number.NEGATIVE_INFINITY)).getCalendar(laboratory.code)
  const places = { plantZone: plant.zone, laboratory: calendar }
  return readValidLimits(values).map(({ limit }) => {
    const zoneOf = (milestone: typeof limit.from) => findMilestoneZone(milestone, plant.zone, laboratory.zone)
    const startZone = zoneOf(limit.from)
    const startedAt = findInstants(local, startZone).instants[0] as number
    const due = computeDueAt(limit, startedAt, places)
    const other = [plant.zone, laboratory.zone].find((zone) => zone !== zoneOf(limit.to))
    const also = other ? `, which is ${formatDeadline(t, due, other, now)}` : ''
    const start = formatLongInstant(t, startedAt, startZone, now)
    return `${limit.name}: ${t(MILESTONE_LABELS[limit.from])} on ${start}, to be ${t(AWAITED_LABELS[limit.to])} by ${formatLongDeadline(t, due, zoneOf(limit.to), now)}${also}.`
  })
}

/** A local time as a form sends it (2026-10-30T16:10), in ms as if it were UTC; null where it is none. */
function parseLocalTime(text: string | undefined): number | null {
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/.test(text ?? '')) return null
  const at = Date.parse(`${text}Z`)
  return Number.isNaN(at) ? null : at
}
