import { addOpenDays, type Calendar } from '@/lib/hold/calendar'
import type { Limit } from '@/lib/hold/limit'
import { DAY, findInstants, MINUTE, toLocalDay } from '@/lib/hold/zone'
import type { Moment } from '@/lib/lane/backtest/trial'

/** Values and their chances, which sum to 1, or to less if an event may never come. */
export type Chances = readonly { value: number; chance: number }[]

/** How a laboratory really works. */
export interface TrueLaboratory {
  code: string
  calendar: Calendar
  /** Minutes of the local day at which it receives, all before any at which it loads. */
  receivesAt: Chances
  loadsAt: Chances
  /** Open days from the day of receipt to that of loading, from 0. */
  dock: Chances
  /** Minutes from a receipt, and from a loading, until its desk has reported it. */
  receiptDelay: Chances
  loadingDelay: Chances
}

/**
 * How a lane really behaves: open days of the laboratory after the day of dispatch, from 1; the rest is lost.
 */
export interface TrueLane {
  plant: string
  plantZone: string
  laboratory: TrueLaboratory
  service: string
  transit: Chances
}

/** The chance of no report of an event at an instant (ms UTC), by how desks really report. */
type Silence = (happenedAt: number, delay: Chances) => number

/**
 * The true chance that a clock that stops at receipt or loading is late, given all reports on its sample: that
 * it was dispatched, perhaps when it was received, and that nothing later was reported. Summed over all
 * possible histories, not simulated.
 */
export function trueChance(
  lane: TrueLane,
  limit: Limit,
  dueAt: number,
  moment: Pick<Moment, 'known' | 'at'>,
): number {
  return computeLateChance(lane, limit, dueAt, moment, (happenedAt, delay) =>
    computeUnheardShare(delay, moment.at - happenedAt),
  )
}

/**
 * The same, given only that nothing later had happened by the observation cutoff (ms UTC), as a forecast
 * assumes.
 */
export function trueChanceByCutoff(
  lane: TrueLane,
  limit: Limit,
  dueAt: number,
  moment: Pick<Moment, 'known' | 'at'>,
  word: number,
): number {
  return computeLateChance(lane, limit, dueAt, moment, (happenedAt) => (happenedAt > word ? 1 : 0))
}

function computeLateChance(
  lane: TrueLane,
  limit: Limit,
  dueAt: number,
  { known: reported }: Pick<Moment, 'known'>,
  silence: Silence,
): number {
  const { laboratory } = lane
  const received = reported.milestones.get('received')?.latestAt
  const sums = { late: 0, all: 0 }
  const add = (chance: number, isLate: boolean) => {
    sums.all += chance
    if (isLate) sums.late += chance
  }
  const addLoadings = (receivedAt: number, chance: number) => {
    for (const { value: loadedAt, chance: part } of loadings(laboratory, receivedAt))
      add(chance * part * silence(loadedAt, laboratory.loadingDelay), loadedAt > dueAt)
  }
  if (received !== undefined) addLoadings(received, 1)
  else {
    const dispatchedAt = reported.milestones.get('dispatched')?.earliestAt as number
    for (const { value: receivedAt, chance } of receipts(lane, dispatchedAt)) {
      const silent = chance * silence(receivedAt, laboratory.receiptDelay)
      if (silent === 0) continue
      if (limit.to === 'received') add(silent, receivedAt > dueAt)
      else addLoadings(receivedAt, silent)
    }
    add(1 - lane.transit.reduce((sum, { chance }) => sum + chance, 0), true)
  }
  return sums.late / sums.all
}

/** The possible times of receipt of a consignment, with chances. */
export function receipts(lane: TrueLane, dispatchedAt: number): Chances {
  const { laboratory, plantZone, transit } = lane
  return memoizeByDay(lane, toLocalDay(dispatchedAt, plantZone), (sentOn) =>
    transit.flatMap(({ value: steps, chance }) =>
      listTimes(addOpenDays(sentOn, steps, laboratory.calendar), laboratory, laboratory.receivesAt, chance),
    ),
  )
}

/** The possible times of loading of a sample received at `receivedAt`, with chances. */
export function loadings(laboratory: TrueLaboratory, receivedAt: number): Chances {
  const { calendar, loadsAt, dock } = laboratory
  return memoizeByDay(laboratory, toLocalDay(receivedAt, calendar.zone), (receivedOn) =>
    dock.flatMap(({ value: steps, chance }) =>
      listTimes(
        steps === 0 ? receivedOn : addOpenDays(receivedOn, steps, calendar),
        laboratory,
        loadsAt,
        chance,
      ),
    ),
  )
}

const knownByDay = new WeakMap<object, Map<number, Chances>>()

/** Memoises by day. */
function memoizeByDay(owner: object, day: number, make: (day: number) => Chances): Chances {
  const days = knownByDay.get(owner) ?? new Map<number, Chances>()
  knownByDay.set(owner, days)
  const found = days.get(day) ?? make(day)
  days.set(day, found)
  return found
}

function listTimes(day: number, { calendar }: TrueLaboratory, times: Chances, chance: number) {
  return times.map(({ value: minute, chance: part }) => ({
    value: findInstants(day * DAY + minute * MINUTE, calendar.zone).instants[0] as number,
    chance: chance * part,
  }))
}

/** The chance that an event this long ago has not been reported yet. */
function computeUnheardShare(delay: Chances, ago: number): number {
  if (ago < 0) return 1
  return delay.reduce((sum, { value, chance }) => (value * MINUTE > ago ? sum + chance : sum), 0)
}
