import { findMilestoneZone } from '@/app/ui/words/clock'
import { formatDeadline, formatLongDeadline, formatLongInstant } from '@/app/ui/words/instant'
import { listEntries, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { computeDueAt, computeEarliestStopAt } from '@/lib/hold/due'
import { findInstants } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { AWAITED_LABELS, MILESTONE_LABELS } from '@/lib/schedule/milestoneText'
import type { FormValues } from './forms/formValues'
import { readValidLimits } from './forms/protocolForm'

/**
 * One sentence for each limit of a form, for a sample of one plant and laboratory: "cut to chamber: cut on Friday
 * 30 October, 16:10 in Lisbon, to be in the chamber by …". Empty if plant, laboratory or start is missing. `now` in ms UTC.
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
    const startZone = findMilestoneZone(limit.from, plant.zone, laboratory.zone)
    const stopZone = findMilestoneZone(limit.to, plant.zone, laboratory.zone)
    const startedAt = findInstants(local, startZone).instants[0] as number
    const due = computeDueAt(limit, startedAt, places)
    const parts = {
      limit: limit.name,
      started: t(MILESTONE_LABELS[limit.from]),
      start: formatLongInstant(t, startedAt, startZone, now),
      stopped: t(AWAITED_LABELS[limit.to]),
      due: formatLongDeadline(t, due, stopZone, now),
    }
    const earliestStopAt = computeEarliestStopAt(limit, startedAt, places)
    const least =
      earliestStopAt === null
        ? ''
        : ` ${t('setup.limitPreview.earliest', { time: formatLongInstant(t, earliestStopAt, stopZone, now) })}`
    const otherZone = [plant.zone, laboratory.zone].find((zone) => zone !== stopZone)
    if (otherZone === undefined) return t('setup.limitPreview.sentence', parts) + least
    const dueElsewhere = formatDeadline(t, due, otherZone, now)
    return t('setup.limitPreview.sentenceElsewhere', { ...parts, dueElsewhere }) + least
  })
}

/** Reads a local time as a form sends it (2026-10-30T16:10), in ms as if it were UTC; null if it is none. */
function parseLocalTime(text: string | undefined): number | null {
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/.test(text ?? '')) return null
  const at = Date.parse(`${text}Z`)
  return Number.isNaN(at) ? null : at
}
