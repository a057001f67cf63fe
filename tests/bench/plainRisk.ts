import type { Clock } from '@/lib/hold/clock'
import { getWeekday, toLocalDay } from '@/lib/hold/zone'
import { applyMultiplier } from '@/lib/lane/model/influence'
import { findKnownAt, type Journey } from '@/lib/lane/model/journey'
import { isReportedByPlant } from '@/lib/lane/model/reporter'
import { listGroupKeys, listRemainingStages, type Stage } from '@/lib/lane/model/stage'
import { findStartDay } from '@/lib/lane/model/startDay'
import type { TransitModel } from '@/lib/lane/model/transitModel'

/**
 * The risk of one clock from the same hazards, computed by the definition: each stage gives days with their chances,
 * the next stage starts from each of them, and the chances in time are added up. Nothing is cached.
 */
export function computePlainRisk(
  clock: Clock,
  journey: Journey,
  record: TransitModel,
  now: number,
): number | null {
  const { milestones } = findKnownAt(journey, now)
  const { to } = clock.limit
  const stages = listRemainingStages((milestone) => milestones.has(milestone), to)
  const first = stages[0]
  if (!first || clock.dueAt === null) return null
  const startedAt = milestones.get(first.from)?.earliestAt as number
  const { cutoffs: words, times, placeDays } = record
  const place = getPlace(first, journey)
  const days = placeDays.getDays(first.to, place)
  const word = words.getCutoff(first.to, place, days).at(now)
  const wordDay = toLocalDay(word, days.calendar.zone)
  const firstTimes = times.getTimes(first.to, place)
  const stopPlace = isReportedByPlant(to) ? journey.plant : journey.laboratory
  const { zone } = placeDays.getDays(to, stopPlace).calendar
  const dueDay = toLocalDay(clock.dueAt, zone)
  const onDueDay = times.getTimes(to, stopPlace).shareAfter(dueDay, Math.max(word, startedAt), clock.dueAt)
  const { ends, never } = listEnds(
    first,
    journey,
    findStartDay(first, journey, startedAt, placeDays),
    dueDay,
    record,
  )
  // Sums what remains: subtracting from 1 would leave little but rounding error of a small chance.
  let possible = never
  let inTime = 0
  for (const { day, chance } of ends) {
    const spoken = day < wordDay ? 1 : day > wordDay ? 0 : firstTimes.shareAfter(day, startedAt, word)
    possible += chance * (1 - spoken)
    if (spoken < 1) inTime += chance * (1 - spoken) * inTimeAfter(1, day)
  }
  return 1 - inTime / possible

  /** The chance to be in time if the stage before the one at `index` ended on `day`. */
  function inTimeAfter(index: number, day: number): number {
    const stage = stages[index]
    if (!stage) return day < dueDay ? 1 : day === dueDay ? onDueDay : 0
    let sum = 0
    for (const begun of listStarts(stage, journey, day, record))
      for (const end of listEnds(stage, journey, begun.day, dueDay, record).ends)
        if (end.chance > 0) sum += begun.chance * end.chance * inTimeAfter(index + 1, end.day)
    return sum
  }
}

interface DayChance {
  day: number
  chance: number
}

const getPlace = (stage: Stage, journey: Journey) =>
  isReportedByPlant(stage.to) ? journey.plant : journey.laboratory

/** The possible last days of a stage that counts from `start`, when the clock is due on `dueDay`. */
function listEnds(
  stage: Stage,
  journey: Journey,
  start: number,
  dueDay: number,
  record: TransitModel,
): { ends: DayChance[]; never: number } {
  const place = getPlace(stage, journey)
  const days = record.placeDays.getDays(stage.to, place)
  const { fit, influences } = record.getStage(stage)
  const ends: DayChance[] = []
  let [day, dayBefore, notYet] = [start, start, 1]
  for (const whole of fit.hazards(listGroupKeys(stage, journey))) {
    const step = ends.length
    if (step > 0) {
      dayBefore = day
      do day += 1
      while (!days.calendar.isOpen(day))
    }
    const multiplier = influences?.getMultiplier({ place, days, step, day, dayBefore, dueDay }) ?? 1
    const hazard = applyMultiplier(whole, multiplier)
    ends.push({ day, chance: notYet * hazard })
    notYet *= 1 - hazard
  }
  return { ends, never: notYet }
}

/** The days from which a stage may count if the previous one ended on `day`. */
function listStarts(stage: Stage, journey: Journey, day: number, record: TransitModel): DayChance[] {
  const pickups =
    stage.from === 'dispatched' ? record.placeDays.places.pickups(journey.plant, journey.service) : null
  if (!pickups) return [{ day, chance: 1 }]
  let next = day + 1
  while ((pickups[getWeekday(next)] ?? null) === null) next += 1
  const pickup = pickups[getWeekday(day)] ?? null
  if (pickup === null) return [{ day: next, chance: 1 }]
  const caught = record.times.getTimes('dispatched', journey.plant).shareByMinute(getWeekday(day), pickup)
  return [
    { day, chance: caught },
    { day: next, chance: 1 - caught },
  ]
}
