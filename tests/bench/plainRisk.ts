import type { Clock } from '@/lib/hold/clock'
import { localDay, weekdayOf } from '@/lib/hold/zone'
import { asKnownAt, type Journey } from '@/lib/lane/journey'
import type { LaneRecord } from '@/lib/lane/record'
import { isReportedByPlant } from '@/lib/lane/reporter'
import { chainOf, levelsOf, type Stage } from '@/lib/lane/stage'
import { startDayOf } from '@/lib/lane/startDay'

/**
 * The risk of one clock from the same hazards, as one would write it down: each stage gives a list of days with their
 * chances, the next stage is worked out from each of those, and what is in time is added up. Nothing is kept.
 */
export function plainRisk(clock: Clock, journey: Journey, record: LaneRecord, now: number): number | null {
  const { milestones } = asKnownAt(journey, now)
  const { to } = clock.limit
  const stages = chainOf((milestone) => milestones.has(milestone), to)
  const first = stages[0]
  if (!first || clock.dueAt === null) return null
  const startedAt = milestones.get(first.from)?.earliestAt as number
  const { words, times, placeDays } = record
  const place = placeOf(first, journey)
  const days = placeDays.of(first.to, place)
  const word = words.of(first.to, place, days).at(now)
  const wordDay = localDay(word, days.calendar.zone)
  const firstTimes = times.of(first.to, place)
  const stopPlace = isReportedByPlant(to) ? journey.plant : journey.laboratory
  const { zone } = placeDays.of(to, stopPlace).calendar
  const dueDay = localDay(clock.dueAt, zone)
  const onDueDay = times.of(to, stopPlace).shareAfter(dueDay, Math.max(word, startedAt), clock.dueAt)
  const ends = endsOf(first, journey, startDayOf(first, journey, startedAt, placeDays), record)
  let possible = 1
  let inTime = 0
  for (const { day, chance } of ends) {
    const spoken = day < wordDay ? 1 : day > wordDay ? 0 : firstTimes.shareAfter(day, startedAt, word)
    possible -= chance * spoken
    if (spoken < 1) inTime += chance * (1 - spoken) * inTimeAfter(1, day)
  }
  return 1 - inTime / possible

  /** The chance to be in time where the stage before the one at `index` ended on `day`. */
  function inTimeAfter(index: number, day: number): number {
    const stage = stages[index]
    if (!stage) return day < dueDay ? 1 : day === dueDay ? onDueDay : 0
    let sum = 0
    for (const begun of begunOn(stage, journey, day, record))
      for (const end of endsOf(stage, journey, begun.day, record))
        if (end.chance > 0) sum += begun.chance * end.chance * inTimeAfter(index + 1, end.day)
    return sum
  }
}

interface DayChance {
  day: number
  chance: number
}

const placeOf = (stage: Stage, journey: Journey) =>
  isReportedByPlant(stage.to) ? journey.plant : journey.laboratory

/** The days on which a stage that counts from `start` may end. */
function endsOf(stage: Stage, journey: Journey, start: number, record: LaneRecord): DayChance[] {
  const { calendar } = record.placeDays.of(stage.to, placeOf(stage, journey))
  const ends: DayChance[] = []
  let day = start
  let notYet = 1
  for (const hazard of record.of(stage).fit.hazards(levelsOf(stage, journey))) {
    if (ends.length > 0)
      do day += 1
      while (!calendar.isOpen(day))
    ends.push({ day, chance: notYet * hazard })
    notYet *= 1 - hazard
  }
  return ends
}

/** The days from which a stage may count where the one before it ended on `day`. */
function begunOn(stage: Stage, journey: Journey, day: number, record: LaneRecord): DayChance[] {
  const pickups =
    stage.from === 'dispatched' ? record.placeDays.places.pickups(journey.plant, journey.service) : null
  if (!pickups) return [{ day, chance: 1 }]
  let next = day + 1
  while ((pickups[weekdayOf(next)] ?? null) === null) next += 1
  const pickup = pickups[weekdayOf(day)] ?? null
  if (pickup === null) return [{ day: next, chance: 1 }]
  const caught = record.times.of('dispatched', journey.plant).shareByMinute(weekdayOf(day), pickup)
  return [
    { day, chance: caught },
    { day: next, chance: 1 - caught },
  ]
}
