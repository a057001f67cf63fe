import { deadlineWords, headingInstant, longDeadline } from '@/app/ui/words/instantWords'
import { entriesOf, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { dueAt } from '@/lib/hold/due'
import { instantsOf } from '@/lib/hold/zone'
import { AWAITED, HAPPENED } from '@/lib/schedule/milestoneWords'
import { milestoneZone } from '../ui/words/clockWords'
import type { FormValues } from './forms/formValues'
import { limitsIn } from './forms/protocolForm'

/**
 * What the limits of a form would mean for a sample of one plant and laboratory, a sentence each: "Cut Friday 30 October,
 * 16:10 in Lisbon: in the chamber by …". Empty where plant, laboratory or start is not filled in. `now` in ms UTC.
 */
export function dueSentences(values: FormValues, register: RegisterDocument, now: number): string[] {
  const plant = register.plants.find(({ code }) => code === values.tryPlant)
  const laboratory = register.laboratories.find(({ code }) => code === values.tryLaboratory)
  const local = localTime(values.tryStart)
  if (!plant || !laboratory || local === null) return []
  const calendar = new Register(entriesOf(register, Number.NEGATIVE_INFINITY)).calendarOf(laboratory.code)
  const places = { plantZone: plant.zone, laboratory: calendar }
  return limitsIn(values).map(({ limit }) => {
    const zoneOf = (milestone: typeof limit.from) => milestoneZone(milestone, plant.zone, laboratory.zone)
    const startZone = zoneOf(limit.from)
    const startedAt = instantsOf(local, startZone).instants[0] as number
    const due = dueAt(limit, startedAt, places)
    const other = [plant.zone, laboratory.zone].find((zone) => zone !== zoneOf(limit.to))
    const also = other ? `, which is ${deadlineWords(due, other, now)}` : ''
    const start = headingInstant(startedAt, startZone, now)
    return `${limit.name}: ${HAPPENED[limit.from]} on ${start}, to be ${AWAITED[limit.to]} by ${longDeadline(due, zoneOf(limit.to), now)}${also}.`
  })
}

/** A local time as a form sends it (2026-10-30T16:10), in ms as if it were UTC; null where it is none. */
function localTime(text: string | undefined): number | null {
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/.test(text ?? '')) return null
  const at = Date.parse(`${text}Z`)
  return Number.isNaN(at) ? null : at
}
