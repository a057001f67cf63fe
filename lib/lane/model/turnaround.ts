import { type Ending, MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { HOUR } from '@/lib/hold/zone'
import { computeQuantiles, type Duration } from './durations'
import { ARRIVAL_BY_ENDING, findKnownAt, type Journey } from './journey'

/** One sample's life as known at an instant. Instants in ms UTC; a milestone may be known only to a span. */
export interface LifeSoFar {
  /** When its kit was issued. */
  issuedAt: number
  milestones: ReadonlyMap<Milestone, { earliestAt: number; latestAt: number }>
  ending: { kind: Ending; at: number } | null
}

type PartStart = Milestone | 'issued'

/** A part of a sample's way, from `from` to the first of `to`. */
interface Part {
  name: string
  from: PartStart
  to: readonly Milestone[]
}

/**
 * The parts shown, in the order of life. Nothing is reported between loading and the report, so testing and
 * reporting are one part; `receipt to report` is the laboratory's whole time. If the carrier does not report
 * delivery, transit ends with receipt and there is no time on the dock.
 */
export const PARTS = [
  { name: 'kit out', from: 'issued', to: ['collected'] },
  { name: 'cut', from: 'produced', to: ['collected'] },
  { name: 'ship', from: 'collected', to: ['dispatched'] },
  { name: 'transit', from: 'dispatched', to: ['delivered', 'received'] },
  { name: 'dock', from: 'delivered', to: ['received'] },
  { name: 'wait for chamber', from: 'received', to: ['loaded'] },
  { name: 'test and report', from: 'loaded', to: ['reported'] },
  { name: 'receipt to report', from: 'received', to: ['reported'] },
] as const satisfies readonly Part[]

export type PartName = (typeof PARTS)[number]['name']

export interface PartTimes {
  name: PartName
  /** Null if too many are open to tell. */
  medianHours: number | null
  /** Null if too many are open to tell. */
  p90Hours: number | null
  /** Samples that have finished this part. */
  closed: number
  /** Samples that are in this part now, or ended in it. */
  open: number
  /** Samples whose end of the part was never reported although a later milestone was; not in the figures. */
  notReported: number
  /** Samples whose end of the part is dated wholly before its beginning; not in the figures. */
  outOfOrder: number
}

/** `at` in ms UTC. */
export function findLifeAt(journey: Journey, at: number): LifeSoFar {
  return { issuedAt: journey.issuedAt, ...findKnownAt(journey, at) }
}

/**
 * How long each part of a sample's way takes, as of `now` (ms UTC); each sample counts once. Open parts last at
 * least until now: a plain median of the finished ones would forget the slow ones.
 *
 * A lost or returned sample never finishes the part in which it was lost, so losses lengthen a part instead of
 * vanishing. A rejection counts as receipt if none was reported; like a cancellation, it censors any other open
 * part. A time known only to a span (a date) counts by its middle; a negative length that results is 0.
 * Milestones dated after `now` do not count yet.
 */
export function computeTurnaround(lives: readonly LifeSoFar[], now: number): PartTimes[] {
  return PARTS.map((part) => computePartTimes(part, lives, now))
}

function computePartTimes(part: (typeof PARTS)[number], lives: readonly LifeSoFar[], now: number): PartTimes {
  const durations: Duration[] = []
  const left = { 'not reported': 0, 'out of order': 0 }
  for (const life of lives) {
    const found = measurePart(part, life, now)
    if (found === null) continue
    if (typeof found === 'string') left[found] += 1
    else durations.push(found)
  }
  const [medianHours = null, p90Hours = null] = computeQuantiles(durations, [0.5, 0.9])
  const closed = durations.filter(({ isClosed }) => isClosed).length
  return {
    name: part.name,
    medianHours,
    p90Hours,
    closed,
    open: durations.length - closed,
    notReported: left['not reported'],
    outOfOrder: left['out of order'],
  }
}

/** The length in hours of one part of one life; null if it never began. */
function measurePart(
  part: Part,
  life: LifeSoFar,
  now: number,
): Duration | 'not reported' | 'out of order' | null {
  const from = part.from === 'issued' ? toSpan(life.issuedAt, now) : findSpan(life, part.from, now)
  if (!from) return null
  const stop = part.to.map((name) => findSpan(life, name, now)).find((span) => span !== null)
  if (stop) {
    if (stop.latestAt < from.earliestAt) return 'out of order'
    return { length: Math.max(0, (middle(stop) - middle(from)) / HOUR), isClosed: true }
  }
  if (isPassed(part, life, now)) return 'not reported'
  const ending = life.ending && life.ending.at <= now ? life.ending : null
  const arrival = ending === null ? null : ARRIVAL_BY_ENDING[ending.kind]
  if (arrival === 'never comes') return { length: Number.POSITIVE_INFINITY, isClosed: false }
  const length = Math.max(0, ((ending?.at ?? now) - middle(from)) / HOUR)
  return { length, isClosed: arrival === 'came' && part.to.includes('received') }
}

/** A milestone after the part's end is reported. */
function isPassed(part: Part, life: LifeSoFar, now: number): boolean {
  const end = Math.max(...part.to.map((name) => MILESTONE_ORDER[name]))
  return [...life.milestones].some(
    ([name, { earliestAt }]) => MILESTONE_ORDER[name] > end && earliestAt <= now,
  )
}

interface Span {
  earliestAt: number
  latestAt: number
}

function findSpan(life: LifeSoFar, name: Milestone, now: number): Span | null {
  const span = life.milestones.get(name)
  return span && span.earliestAt <= now ? span : null
}

function toSpan(at: number, now: number): Span | null {
  return at <= now ? { earliestAt: at, latestAt: at } : null
}

function middle({ earliestAt, latestAt }: Span): number {
  return (earliestAt + latestAt) / 2
}
