import { createCalendar } from '@/lib/hold/calendar'
import type { Clock } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import type { OpenMinutes } from '@/lib/hold/openHours'
import { parseIsoDate } from '@/lib/hold/zone'
import type { Journey, JourneyEnding, Report } from '@/lib/lane/model/journey'
import type { Places } from '@/lib/lane/model/places'
import { buildTransitModel, type TransitModel, type TransitModelOptions } from '@/lib/lane/model/transitModel'

export const ms = (text: string) => Date.parse(text)
export const day = (date: string) => parseIsoDate(date) as number
export const formatDate = (number: number | null) =>
  number === null ? null : new Date(number * 86_400_000).toISOString().slice(0, 10)

/** Plant P1 in Lisbon, P2 in Kolkata; laboratory L1 in New York and L2 in Chicago, 08:00 to 16:00 on workdays. */
export function lanePlaces(parts: LanePlaces = {}): Places {
  const zones: Record<string, string> = { P1: 'Europe/Lisbon', P2: 'Asia/Kolkata' }
  const labs: Record<string, string> = { L1: 'America/New_York', L2: 'America/Chicago' }
  const closed = new Set((parts.closed ?? []).map(day))
  const weekdays = new Set(parts.weekdays ?? [1, 2, 3, 4, 5])
  const hours = parts.hours ?? [[480, 960]]
  return {
    plantZone: (plant) => zones[plant] as string,
    calendar: (laboratory) =>
      createCalendar(labs[laboratory] as string, [
        { weekdays, closed, holdsFromAt: Number.NEGATIVE_INFINITY },
      ]),
    hours: () => [0, 1, 2, 3, 4, 5, 6].map((weekday) => (weekdays.has(weekday) ? hours : [])),
    pickups: (plant, service) => parts.pickups?.[`${plant} ${service}`] ?? null,
  }
}

interface LanePlaces {
  /** Local dates on which the laboratories are closed. */
  closed?: string[]
  weekdays?: number[]
  hours?: OpenMinutes
  /** By plant and service, "P1 road". */
  pickups?: Record<string, (number | null)[]>
}

type Times = Partial<Record<Milestone, string>>
interface JourneyParts extends Times {
  code?: string
  plant?: string
  laboratory?: string
  service?: string | null
  consignment?: string | null
  ending?: JourneyEnding | null
  /** Delay from each time until it was known, ms. */
  delay?: number
}

let count = 0

/** A journey from P1 to L1 by road by default. Times are instants, or dates alone (a whole UTC day). */
export function journey(parts: JourneyParts): Journey {
  const { code, plant, laboratory, service, consignment, ending, delay = 0, ...times } = parts
  count += 1
  return {
    code: code ?? `S${count}`,
    plant: plant ?? 'P1',
    laboratory: laboratory ?? 'L1',
    service: service === undefined ? 'road' : service,
    consignment: consignment ?? null,
    issuedAt: 0,
    reports: Object.entries(times).map(([milestone, text]) => report(milestone as Milestone, text, delay)),
    ending: ending ?? null,
  }
}

export function report(milestone: Milestone, text: string, delay = 0): Report {
  const at = ms(text)
  const latestAt = text.length === 10 ? at + 86_399_999 : at
  return { milestone, at, latestAt, knownAt: latestAt + delay, withdrawnAt: null }
}

export function running(
  to: Milestone,
  startedAt: string,
  dueAt: string,
  from: Milestone = 'collected',
): Clock {
  return {
    limit: { name: `${from} to ${to}`, from, to, amount: 1, unit: 'hours' },
    startedAt: ms(startedAt),
    stoppedAt: null,
    stoppedEarliestAt: null,
    earliestStopAt: null,
    dueAt: ms(dueAt),
    firstDueAt: null,
    isEnded: false,
    isNotReported: false,
  }
}

/** Kaplan-Meier without shrinkage or fading, so that results can be computed by hand. */
export const UNPULLED: TransitModelOptions = { weights: 0, halfLifeDays: null }

export function buildTestModel(
  journeys: readonly Journey[],
  now: string,
  places: Places = lanePlaces(),
  options: TransitModelOptions = UNPULLED,
): TransitModel {
  return buildTransitModel(journeys, places, ms(now), options)
}
