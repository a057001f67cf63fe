import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { readTime } from '@/lib/custody/reading'
import type { Calendar } from '@/lib/hold/calendar'
import { computeDueAt } from '@/lib/hold/due'
import type { LimitFields } from '@/lib/hold/limit'
import { getDayEnd, getDayStart, toLocalDay } from '@/lib/hold/zone'
import { getRunSeed } from '@/tests/setup/seed'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { limit as anyLimit } from '../hold/places'
import { type Chance, chanceFrom } from './random'

// Source: temporal-polyfill 1.0.8, an implementation of TC39 Temporal. It takes the offsets from the runtime's zone
// data as we do, but its arithmetic is its own. Working days are walked one PlainDate at a time.

const ZONES = [
  'America/New_York',
  'America/Chicago',
  'Europe/Lisbon',
  'Europe/London',
  'Asia/Kolkata',
  'Asia/Kathmandu',
  'America/Sao_Paulo',
  'America/St_Johns',
  'Australia/Lord_Howe',
  'Australia/Sydney',
  'Pacific/Apia',
  'Pacific/Auckland',
  'Africa/Casablanca',
  'America/Nuuk',
] as const
const STARTS = chooseUsualOrLong({ usual: 4_004, long: 20_020 })
const FROM = Date.parse('2005-01-01T00:00Z')
const SPAN = Date.parse('2038-01-01T00:00Z') - FROM
const DAY = 86_400_000

const zoned = (at: number, zone: string) =>
  Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(zone)
const toDayNumber = (date: Temporal.PlainDate) =>
  Temporal.PlainDate.from('1970-01-01').until(date, { largestUnit: 'days' }).days

/** Instants (ms UTC) at which the clocks of a zone change. */
function findZoneChanges(zone: string): number[] {
  const changes: number[] = []
  let at: Temporal.ZonedDateTime | null = zoned(FROM, zone)
  while (at && at.epochMilliseconds < FROM + SPAN) {
    at = at.getTimeZoneTransition('next')
    if (at) changes.push(at.epochMilliseconds)
  }
  return changes
}
const CHANGES = new Map(ZONES.map((zone) => [zone, findZoneChanges(zone)]))

/** A start: three of four near a change of clocks, some of them on its very millisecond, the others anywhere. */
function startIn(zone: (typeof ZONES)[number], chance: Chance): number {
  const changes = CHANGES.get(zone) ?? []
  const way = chance.whole(8)
  if (changes.length === 0 || way < 2) return FROM + chance.whole(SPAN)
  const change = chance.pick(changes)
  if (way === 2) return change - 1 + chance.whole(3)
  // An amount of days before it, so that the count runs across it.
  if (way === 3) return change - chance.whole(40) * DAY - chance.whole(DAY)
  return change - 1.5 * DAY + chance.whole(3 * DAY)
}

/** The last millisecond of a local day, by Temporal. */
function findDayEnd(date: Temporal.PlainDate, zone: string): number {
  const end = date.toPlainDateTime('23:59:59.999').toZonedDateTime(zone, { disambiguation: 'later' })
  if (end.toPlainDate().equals(date)) return end.epochMilliseconds
  return date.add({ days: 1 }).toZonedDateTime(zone).epochMilliseconds - 1
}

interface Opening {
  /** ISO weekdays, 1 (Monday) to 7. */
  weekdays: Set<number>
  closed: Set<string>
}

function openingFrom(chance: Chance, around: Temporal.PlainDate): Opening {
  const weekdays = new Set([1, 2, 3, 4, 5, 6, 7].filter(() => chance.whole(3) > 0))
  if (weekdays.size === 0) weekdays.add(1 + chance.whole(7))
  const closed = Array.from({ length: 6 }, () => around.add({ days: chance.whole(30) }).toString())
  return { weekdays, closed: new Set(closed) }
}

const isOpen = ({ weekdays, closed }: Opening, date: Temporal.PlainDate) =>
  weekdays.has(date.dayOfWeek) && !closed.has(date.toString())

function workingDayAfter(start: Temporal.PlainDate, amount: number, opening: Opening): Temporal.PlainDate {
  let date = start
  if (amount === 0) while (!isOpen(opening, date)) date = date.add({ days: 1 })
  for (let found = 0; found < amount; ) {
    date = date.add({ days: 1 })
    if (isOpen(opening, date)) found += 1
  }
  return date
}

const dates = new Map<number, Temporal.PlainDate>()
function toDate(day: number): Temporal.PlainDate {
  const date = dates.get(day) ?? Temporal.PlainDate.from('1970-01-01').add({ days: day })
  dates.set(day, date)
  return date
}

const makeCalendar = (zone: string, opening: Opening): Calendar => ({
  zone,
  isOpen: (day) => isOpen(opening, toDate(day)),
})

type Check = (
  start: number,
  zone: (typeof ZONES)[number],
  chance: Chance,
) => [ours: unknown, theirs: unknown, of: unknown]

/** Runs a check on many starts; its failures are listed with the seed that finds them again. */
function agree(check: Check, count = STARTS) {
  const seed = getRunSeed()
  const chance = chanceFrom(seed)
  const failures: string[] = []
  for (let index = 0; index < count && failures.length < 5; index += 1) {
    const zone = ZONES[index % ZONES.length] as (typeof ZONES)[number]
    const start = startIn(zone, chance)
    const [ours, theirs, of] = check(start, zone, chance)
    if (JSON.stringify(ours) !== JSON.stringify(theirs))
      failures.push(
        `${zone} ${zoned(start, zone)} ${JSON.stringify(of)}: ${JSON.stringify({ ours, theirs })}`,
      )
  }
  expect(failures, `seed ${seed}`).toEqual([])
}

const limit = (
  amount: number,
  unit: LimitFields['unit'],
  counting?: LimitFields['counting'],
  zone?: LimitFields['zone'],
) => anyLimit({ amount, unit, counting, zone })
const ALWAYS = { weekdays: new Set([1, 2, 3, 4, 5, 6, 7]), closed: new Set<string>() }
/** The zone under test as the one of counting; the other place is elsewhere. */
const placesFor = (zone: string, whose: 'plant' | 'laboratory', opening: Opening = ALWAYS) => ({
  plantZone: whose === 'plant' ? zone : 'Asia/Tokyo',
  laboratory: makeCalendar(whose === 'laboratory' ? zone : 'Asia/Tokyo', opening),
})

describe('the arithmetic of clocks agrees with Temporal, mostly around changes of clocks, where it', () => {
  test('reaches changes of both directions in every zone that has any, and the half hour of Lord Howe', () => {
    const steps = (zone: (typeof ZONES)[number]) =>
      (CHANGES.get(zone) ?? []).map(
        (at) => (zoned(at, zone).offsetNanoseconds - zoned(at - 1, zone).offsetNanoseconds) / 6e10,
      )
    for (const zone of ZONES.filter((one) => !['Asia/Kolkata', 'Asia/Kathmandu'].includes(one)))
      expect([steps(zone).some((step) => step > 0), steps(zone).some((step) => step < 0)], zone).toEqual([
        true,
        true,
      ])
    expect(new Set(steps('Australia/Lord_Howe'))).toEqual(new Set([30, -30]))
    expect(steps('Pacific/Apia')).toContain(24 * 60)
  })

  test('adds hours and elapsed days', () =>
    agree((start, zone, chance) => {
      const amount = chance.whole(200)
      const places = placesFor(zone, 'laboratory')
      const ours = [
        computeDueAt(limit(amount, 'hours'), start, places),
        computeDueAt(limit(amount, 'days', 'elapsed'), start, places),
      ]
      const instant = Temporal.Instant.fromEpochMilliseconds(start)
      return [ours, [amount, 24 * amount].map((hours) => instant.add({ hours }).epochMilliseconds), amount]
    }))

  test('runs calendar days to the end of the local day, of the plant or of the laboratory', () =>
    agree((start, zone, chance) => {
      const amount = chance.whole(40)
      const whose = chance.pick(['plant', 'laboratory'] as const)
      const ours = computeDueAt(limit(amount, 'days', 'calendar', whose), start, placesFor(zone, whose))
      return [
        ours,
        findDayEnd(zoned(start, zone).toPlainDate().add({ days: amount }), zone),
        { amount, whose },
      ]
    }))

  // ISO 8601-1:2019 takes a week for seven days (memory); Temporal adds weeks by it.
  test('takes a week for seven days, elapsed or on the calendar', () =>
    agree((start, zone, chance) => {
      const amount = chance.whole(30)
      const whose = chance.pick(['plant', 'laboratory'] as const)
      const ours = [
        computeDueAt(limit(amount, 'weeks', 'elapsed'), start, placesFor(zone, whose)),
        computeDueAt(limit(amount, 'weeks', 'calendar', whose), start, placesFor(zone, whose)),
      ]
      const elapsed = Temporal.Instant.fromEpochMilliseconds(start).add({ hours: amount * 7 * 24 })
      const date = zoned(start, zone).toPlainDate().add({ weeks: amount })
      return [ours, [elapsed.epochMilliseconds, findDayEnd(date, zone)], { amount, whose }]
    }))

  test('runs months to the end of the month', () =>
    agree((start, zone, chance) => {
      const amount = chance.whole(15)
      const whose = chance.pick(['plant', 'laboratory'] as const)
      const ours = computeDueAt(limit(amount, 'months', undefined, whose), start, placesFor(zone, whose))
      const month = zoned(start, zone).toPlainDate().toPlainYearMonth().add({ months: amount })
      return [ours, findDayEnd(month.toPlainDate({ day: month.daysInMonth }), zone), { amount, whose }]
    }))

  test('runs working days to the end of an open day', () =>
    agree((start, zone, chance) => {
      const amount = chance.whole(12)
      const date = zoned(start, zone).toPlainDate()
      const opening = openingFrom(chance, date)
      const ours = computeDueAt(limit(amount, 'working days'), start, placesFor(zone, 'laboratory', opening))
      return [ours, findDayEnd(workingDayAfter(date, amount, opening), zone), amount]
    }))

  test('finds the local day of an instant, and the first and the last millisecond of a local day', () =>
    agree((start, zone) => {
      const date = zoned(start, zone).toPlainDate()
      const day = toDayNumber(date)
      const ours = [toLocalDay(start, zone), getDayStart(day, zone), getDayEnd(day, zone)]
      return [ours, [day, date.toZonedDateTime(zone).epochMilliseconds, findDayEnd(date, zone)], date]
    }))

  test('reads a local time as both instants that it can mean, in a repeated hour and in a skipped one', () => {
    const doubtful = { repeated: 0, skipped: 0 }
    agree((start, zone) => {
      // Read off a clock that does not turn with the zone's, so that skipped times come up too.
      const local = zoned(start, 'UTC')
        .toPlainDateTime()
        .add({ nanoseconds: zoned(start, zone).offsetNanoseconds })
        .add({ minutes: start % 2 === 0 ? 0 : 47 })
      const instants = (['earlier', 'later'] as const).map(
        (disambiguation) => local.toZonedDateTime(zone, { disambiguation }).epochMilliseconds,
      )
      const text = local.toString({ fractionalSecondDigits: 3 })
      if (instants[0] !== instants[1]) {
        const isShown = zoned(instants[0] as number, zone)
          .toPlainDateTime()
          .equals(local)
        doubtful[isShown ? 'repeated' : 'skipped'] += 1
      }
      return [readTime(text, zone, null), { earliestAt: instants[0], latestAt: instants[1] }, text]
    })
    expect(doubtful.repeated).toBeGreaterThan(STARTS / 100)
    expect(doubtful.skipped).toBeGreaterThan(STARTS / 100)
  })
})
