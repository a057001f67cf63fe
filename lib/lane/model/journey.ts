import type { Ending, Milestone } from '@/lib/hold/milestone'

/** One report of one milestone. Instants in ms UTC. */
export interface Report {
  milestone: Milestone
  /**
   * Earliest and latest reading of the reported time: one instant, or the whole day if only a date was given.
   */
  at: number
  latestAt: number
  /** When it became known: when its source wrote it down, else when we received it, else `at`. */
  knownAt: number
  /** When a correction that removes it became known; null if it stands. */
  withdrawnAt: number | null
}

export interface JourneyEnding {
  kind: Ending
  at: number
  knownAt: number
}

/**
 * All reports of one sample, kept so that the state known at any time can be reconstructed. Instants in ms UTC.
 */
export interface Journey {
  code: string
  plant: string
  laboratory: string
  service: string | null
  /** The consignment's key, made of service and waybill; null without a waybill. */
  consignment: string | null
  issuedAt: number
  reports: readonly Report[]
  ending: JourneyEnding | null
  /** The first due of its clocks by the milestone that stops them, if known. */
  dueAts?: Partial<Record<Milestone, number>>
}

/**
 * Identifies a consignment. It includes the plant: another plant's kit under the same waybill, by mistake or to
 * probe whether the waybill is in use, is not part of it.
 */
export function getConsignmentKey({ plant, consignment }: Journey): string | null {
  return consignment === null ? null : `${plant} ${consignment}`
}

/** Earliest and latest of all readings of a milestone. */
export interface KnownMilestone {
  earliestAt: number
  latestAt: number
}

export interface Known {
  milestones: ReadonlyMap<Milestone, KnownMilestone>
  ending: JourneyEnding | null
}

/**
 * What was known of a journey at `at` (ms UTC): the reports received by then and not removed, of milestones
 * whose time had come. The least fresh reading stands: the earliest where a stage begins, the latest where it
 * ends.
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

/** What an ending implies for an unreported arrival: it never comes, it came, or it is no longer awaited. */
export const ARRIVAL_BY_ENDING: Record<Ending, 'never comes' | 'came' | 'not awaited'> = {
  lost: 'never comes',
  returned: 'never comes',
  rejected: 'came',
  cancelled: 'not awaited',
}
