import { buildClock, type Clock, type ClockFacts, getClockState } from '@/lib/hold/clock'
import { findEarliest, findLatest } from '@/lib/hold/extremes'
import type { Limit } from '@/lib/hold/limit'
import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import {
  computeStandingTimes,
  getSettledStanding,
  type SettledStanding,
  type StandingTimes,
} from '@/lib/hold/standing'
import { findUndecidedEnds } from '@/lib/hold/undecided'
import { findGrants } from './extension'
import { type Finding, findFormCopyAt, listUnruled, readFindings } from './finding'
import { type Flag, findFlags } from './flags'
import { type History, readHistory } from './history'
import { isCounted, type PlacedEvent } from './placing'
import { findUnjudgedTemperature } from './receiptFaults'
import type { Kit, LimitsInForce, Register } from './register'

/** What the accepted events and the register say of one sample at one time. Instants in ms UTC. */
export interface Sample {
  kit: Kit
  /** The kit's product, or the one that `collected` names for a spare kit; null if neither is known. */
  product: string | null
  lot: string | null
  protocol: string | null
  history: History
  /** When it ended early (ms UTC), by an ending or by a ruling to cut it again; null if it did not. */
  endedAt: number | null
  /** One clock for each hold limit of its protocol, sorted by name. */
  clocks: Clock[]
  /** Milestones whose exact time would decide a clock, each with when it would. */
  undecided: UndecidedTime[]
  /** Null while the sample is open. */
  settled: SettledStanding | null
  standingTimes: StandingTimes
  /** By time. */
  findings: Finding[]
  /** What a receipt gives (°C) though its protocol does not say which temperatures are right. */
  unjudgedTemperature: number | null
  /** When a copy of its form was first sent in, ms UTC. */
  formCopyAt: number | null
  flags: Flag[]
  /** When a future event or limit takes effect, so that the sample has to be derived again. */
  deriveAgainAt: number | null
  /** When the last event or limit took effect: at an earlier time, the sample has to be derived again. Null if none has. */
  holdsFromAt: number | null
}

/** A sample with all that was reported of it. */
export interface SampleWithEvents extends Sample {
  /** Every event reported for it, counted or not, by time. */
  events: PlacedEvent[]
}

/** A milestone whose exact time is asked for, since it decides a clock: after `afterAt` through `untilAt`, ms UTC. */
export interface UndecidedTime {
  milestone: Milestone
  afterAt: number
  untilAt: number
}

/** The milestones whose exact time is asked for at `now` (ms UTC), in the order of life. */
export function listUndecided({ undecided }: Pick<Sample, 'undecided'>, now: number): Milestone[] {
  const asked = new Set(
    undecided
      .filter(({ afterAt, untilAt }) => afterAt < now && now <= untilAt)
      .map(({ milestone }) => milestone),
  )
  return MILESTONES.filter((milestone) => asked.has(milestone))
}

/** Derives a sample at `now` from its placed events, in any order. */
export function deriveSample(
  kit: Kit,
  placed: readonly PlacedEvent[],
  register: Register,
  now: number,
): SampleWithEvents {
  const history = readHistory(placed, (place) => register.getZone(place))
  const product = kit.product ?? history.product
  const made = register.findProduct(kit.plant, product)
  const versions = made === null ? [] : register.listLimits(made.code)
  const current = versions.findLast((version) => version.holdsFromAt <= now) ?? versions[0]
  const { clocks: running, undecided } = computeClocks(kit, history, placed, versions, register, now)
  const { findings, invalidRulings } = readFindings(placed, { history, clocks: running, versions })
  const endedAt = history.ending?.at ?? findRuledOutAt(findings)
  const isEnded = endedAt !== null
  // A ruling can end a sample, and is given on what its stopped clocks say among others.
  const clocks = running.map((clock) => ({ ...clock, isEnded }))
  const hasStopped = clocks.length > 0 && clocks.every((clock) => clock.stoppedAt !== null)
  const isSettled = isEnded || hasStopped || history.milestones.has('reported')
  const protocol = current?.protocol ?? null
  const sample = {
    kit,
    product,
    lot: history.lot,
    protocol,
    history,
    events: [...placed].sort(comparePlacedEvents),
    clocks,
    undecided,
    endedAt,
    settled: isSettled ? getSettledStanding(clocks, isEnded, listUnruled(findings, now).length > 0) : null,
    standingTimes: computeStandingTimes(clocks),
    findings,
    unjudgedTemperature: findUnjudgedTemperature(placed, versions, now),
    formCopyAt: findFormCopyAt(placed),
    ...findSpan(placed, versions, now),
  }
  return { ...sample, flags: findFlags({ ...sample, invalidRulings }, register) }
}

/** When the first standing ruling says to cut the sample again, ms UTC; null if none does. */
function findRuledOutAt(findings: readonly Finding[]): number | null {
  const rulings = findings.flatMap(({ decision }) => (decision?.ruling === 'cut again' ? [decision.at] : []))
  return rulings.length > 0 ? findEarliest(rulings) : null
}

/** Whether a limit's start or stop is missing although a later milestone was reported. */
function isNotReported(limit: Limit, milestones: History['milestones']): boolean {
  const isMissing = (milestone: Milestone) =>
    !milestones.has(milestone) &&
    MILESTONES.some((later) => MILESTONE_ORDER[later] > MILESTONE_ORDER[milestone] && milestones.has(later))
  return isMissing(limit.from) || isMissing(limit.to)
}

function computeClocks(
  kit: Kit,
  history: History,
  placed: readonly PlacedEvent[],
  versions: readonly LimitsInForce[],
  register: Register,
  now: number,
): Pick<Sample, 'clocks' | 'undecided'> {
  const grants = findGrants(
    placed.filter(isCounted).map((one) => one.event),
    (code) => register.getZone(code),
  )
  const places = {
    plantZone: register.getZone(kit.plant) as string,
    laboratory: register.getCalendar(kit.laboratory),
  }
  const judged = findApplicableLimits(history, versions, now).map((limit) => {
    const [start, stop] = [history.milestones.get(limit.from), history.milestones.get(limit.to)]
    // The reading that makes the sample look least fresh: the earliest start, the latest stop.
    const facts: ClockFacts = {
      startedAt: start?.earliestAt ?? null,
      startedLatestAt: start?.latestAt ?? null,
      stoppedAt: stop?.latestAt ?? null,
      stoppedEarliestAt: stop?.earliestAt ?? null,
      grants: grants.get(limit.name) ?? [],
      isNotReported: isNotReported(limit, history.milestones),
    }
    return { clock: buildClock(limit, facts, places), ends: findUndecidedEnds(limit, facts, places) }
  })
  return {
    clocks: judged.map(({ clock }) => clock),
    undecided: judged.flatMap(({ clock, ends }) =>
      ends.map(({ end, ...when }) => ({ milestone: clock.limit[end], ...when })),
    ),
  }
}

/**
 * The limits that apply to a sample, by name: each as in force at the start of its clock, or at `now` if the clock
 * has not started.
 */
function findApplicableLimits(history: History, versions: readonly LimitsInForce[], now: number): Limit[] {
  if (versions.length === 1) return sortByName(versions[0]?.limits ?? [])
  const names = new Set(versions.flatMap((version) => version.limits.map((limit) => limit.name)))
  const judging = [...names].map((name) => {
    const limitIn = (version: LimitsInForce | undefined) =>
      version?.limits.find((limit) => limit.name === name)
    const started = versions.findLast((version, index) => {
      const from = (limitIn(version) ?? limitIn(versions.find(limitIn)))?.from
      const startedAt = from === undefined ? undefined : history.milestones.get(from)?.earliestAt
      const next = versions[index + 1]
      return (
        startedAt !== undefined &&
        (index === 0 || startedAt >= version.holdsFromAt) &&
        (next === undefined || startedAt < next.holdsFromAt)
      )
    })
    return limitIn(started ?? versions.findLast((version) => version.holdsFromAt <= now) ?? versions[0])
  })
  return sortByName(judging.filter((limit) => limit !== undefined))
}

function sortByName(limits: readonly Limit[]): Limit[] {
  return [...limits].sort((a, b) => (a.name < b.name ? -1 : 1))
}

function comparePlacedEvents(a: PlacedEvent, b: PlacedEvent): number {
  if (a.event.earliestAt !== b.event.earliestAt) return a.event.earliestAt - b.event.earliestAt
  if (a.event.source !== b.event.source) return a.event.source < b.event.source ? -1 : 1
  return a.event.id < b.event.id ? -1 : 1
}

/** Receipts and rejections leave findings even where they are corrected. */
function hasEffect({ event, correctedBy }: PlacedEvent): boolean {
  return correctedBy.length === 0 || event.kind === 'received' || event.kind === 'rejected'
}

/** The span of time around `now` in which no event or limit takes effect. */
function findSpan(
  placed: readonly PlacedEvent[],
  versions: readonly LimitsInForce[],
  now: number,
): Pick<Sample, 'deriveAgainAt' | 'holdsFromAt'> {
  const changes = [
    ...placed.filter(hasEffect).map((one) => one.event.earliestAt),
    // The first version holds before it was entered, too.
    ...versions.slice(1).map((version) => version.holdsFromAt),
  ]
  const [ahead, past] = [changes.filter((at) => at > now), changes.filter((at) => at <= now)]
  return {
    deriveAgainAt: ahead.length > 0 ? findEarliest(ahead) : null,
    holdsFromAt: past.length > 0 ? findLatest(past) : null,
  }
}

/** The rows of the assessment, by the limit's name. */
export function assessClocks(sample: Sample, now: number) {
  return sample.clocks.map((clock) => ({
    sample: sample.kit.code,
    limit: clock.limit.name,
    state: getClockState(clock, now),
    startedAt: clock.startedAt,
    dueAt: clock.dueAt,
    stoppedAt: clock.stoppedAt,
  }))
}
