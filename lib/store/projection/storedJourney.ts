import { z } from 'zod'
import { ENDINGS, MILESTONES } from '@/lib/hold/milestone'
import type { Journey } from '@/lib/lane/model/journey'

const milestone = z.enum(MILESTONES)

/** A journey as the column `sample.journey` keeps it, without what stands in the row beside it. Instants in ms UTC. */
export const journeyColumn = z.strictObject({
  service: z.string().nullable(),
  consignment: z.string().nullable(),
  ending: z.strictObject({ kind: z.enum(ENDINGS), at: z.number(), knownAt: z.number() }).nullable(),
  /** Milestone, earliest and latest reading, when it became known, and when it was taken out. */
  reports: z
    .array(z.tuple([milestone, z.number(), z.number(), z.number(), z.number().nullable()]).readonly())
    .readonly(),
  /** The first due of its clocks by the milestone that stops them; absent where the row was written before it was kept. */
  dueAts: z.partialRecord(milestone, z.number()).optional(),
})

export type StoredJourney = z.infer<typeof journeyColumn>

/** What of a row of the table `sample` a journey is read from. */
export const journeyRow = z.object({
  code: z.string(),
  plant: z.string(),
  laboratory: z.string(),
  issued_at: z.date(),
  journey: journeyColumn,
})

/** A journey as the column `sample.journey` keeps it. */
export function toStoredJourney({
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
export function readJourney(row: z.infer<typeof journeyRow>): Journey {
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
