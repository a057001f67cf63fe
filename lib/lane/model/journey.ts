import type { Ending, Milestone } from '@/lib/hold/milestone'

/** One report of one milestone, with when it became known. Instants in ms UTC. */
export interface Report {
  milestone: Milestone
  /** The earliest and the latest reading of the time that was reported; one instant, or a whole day of a date alone. */
  at: number
  latestAt: number
  /** When it was known: when its source wrote it down, else when it came to us, else `at`. */
  knownAt: number
  /** When a correction that takes it out became known; null where it stands. */
  withdrawnAt: number | null
}

export interface JourneyEnding {
  kind: Ending
  at: number
  knownAt: number
}

/** What was reported of one sample, kept so that what was known at any time can be told. Instants in ms UTC. */
export interface Journey {
  code: string
  plant: string
  laboratory: string
  service: string | null
  /** What names the consignment it travels in, service and waybill in one text; null where there is no waybill. */
  consignment: string | null
  issuedAt: number
  reports: readonly Report[]
  ending: JourneyEnding | null
  /** The first due of its clocks by the milestone that stops them, where it is told. */
  dueAts?: Partial<Record<Milestone, number>>
}

/**
 * What tells the consignment of a journey from all others. It left one plant: a kit of another plant under the same
 * waybill, by a slip or by one who wants to find out whether that waybill is in use, is no part of it.
 */
export function getConsignmentKey({ plant, consignment }: Journey): string | null {
  return consignment === null ? null : `${plant} ${consignment}`
}

/** A milestone as it was known: the earliest and the latest of all readings. */
export interface KnownMilestone {
  earliestAt: number
  latestAt: number
}

export interface Known {
  milestones: ReadonlyMap<Milestone, KnownMilestone>
  ending: JourneyEnding | null
}

/**
 * What was known of a journey at `at` (ms UTC): the reports that had come by then and had not been taken out, of
 * milestones whose time had come. The reading that makes the sample look least fresh stands: the earliest where a
 * stage begins, the latest where it ends.
 */
export function findKnownAt(journey: Journey, at: number): Known {
  const milestones = new Map<Milestone, KnownMilestone>()
  for (const report of journey.reports) {
    if (report.knownAt > at || report.at > at) continue
    if (report.withdrawnAt !== null && report.withdrawnAt <= at) continue
    const known = milestones.get(report.milestone)
    if (!known) {
      milestones.set(report.milestone, { earliestAt: report.at, latestAt: report.latestAt })
      continue
    }
    if (report.at < known.earliestAt) known.earliestAt = report.at
    if (report.latestAt > known.latestAt) known.latestAt = report.latestAt
  }
  const { ending } = journey
  const isEnded = ending !== null && ending.knownAt <= at && ending.at <= at
  return { milestones, ending: isEnded ? ending : null }
}

/** What an ending says of an arrival that nobody reported: it never comes, it came, or it is no longer waited for. */
export const ARRIVAL_BY_ENDING: Record<Ending, 'never comes' | 'came' | 'not awaited'> = {
  lost: 'never comes',
  returned: 'never comes',
  rejected: 'came',
  cancelled: 'not awaited',
}
