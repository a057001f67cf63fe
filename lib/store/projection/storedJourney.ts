import type { Milestone } from '@/lib/hold/milestone'
import type { Journey, JourneyEnding } from '@/lib/lane/model/journey'

/** A journey as the column `sample.journey` keeps it, without what stands in the row beside it. Instants in ms UTC. */
export interface StoredJourney {
  service: string | null
  consignment: string | null
  ending: JourneyEnding | null
  /** Milestone, earliest and latest reading, when it became known, and when it was taken out. */
  reports: readonly (readonly [Milestone, number, number, number, number | null])[]
  /** The first due of its clocks by the milestone that stops them; absent where the row was written before it was kept. */
  dueAts?: Partial<Record<Milestone, number>>
}

export function storedJourney({
  service,
  consignment,
  ending,
  reports,
  dueAts = {},
}: Journey): StoredJourney {
  return {
    service,
    consignment,
    ending,
    reports: reports.map(({ milestone, at, latestAt, knownAt, withdrawnAt }) => [
      milestone,
      at,
      latestAt,
      knownAt,
      withdrawnAt,
    ]),
    dueAts,
  }
}

/** A journey from a row of the table `sample`. */
export function readJourney(row: {
  code: string
  plant: string
  laboratory: string
  issued_at: Date
  journey: StoredJourney
}): Journey {
  const { code, plant, laboratory, journey } = row
  return {
    code,
    plant,
    laboratory,
    service: journey.service,
    consignment: journey.consignment,
    issuedAt: row.issued_at.getTime(),
    reports: journey.reports.map(([milestone, at, latestAt, knownAt, withdrawnAt]) => ({
      milestone,
      at,
      latestAt,
      knownAt,
      withdrawnAt,
    })),
    ending: journey.ending,
    dueAts: journey.dueAts ?? {},
  }
}
