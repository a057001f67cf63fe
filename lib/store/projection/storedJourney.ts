import { z } from 'zod'
import { ENDINGS, MILESTONES } from '@/lib/hold/milestone'
import type { Journey } from '@/lib/lane/model/journey'

const milestone = z.enum(MILESTONES)

/** The column `sample.journey`: a journey without what other columns hold. Instants in ms UTC. */
export const journeyColumn = z.strictObject({
  service: z.string().nullable(),
  consignment: z.string().nullable(),
  ending: z.strictObject({ kind: z.enum(ENDINGS), at: z.number(), knownAt: z.number() }).nullable(),
  /** Milestone, earliest and latest reading, when it became known, and when it was withdrawn. */
  reports: z
    .array(z.tuple([milestone, z.number(), z.number(), z.number(), z.number().nullable()]).readonly())
    .readonly(),
  /** The first due by the milestone that stops its clock; absent in rows of an older version. */
  dueAts: z.partialRecord(milestone, z.number()).optional(),
})

export type StoredJourney = z.infer<typeof journeyColumn>

/** The columns of the table `sample` that a journey is read from. */
export const journeyRow = z.object({
  code: z.string(),
  plant: z.string(),
  laboratory: z.string(),
  issued_at: z.date(),
  journey: journeyColumn,
})

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
