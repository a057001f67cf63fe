import { z } from 'zod'
import { UNSEEN_KIT } from '@/lib/custody/kitCode'
import { listMissingMilestones } from '@/lib/custody/missingMilestones'
import type { Register } from '@/lib/custody/register'
import { limit, PURPOSES } from '@/lib/custody/registerDocument'
import { type Clock, getClockState } from '@/lib/hold/clock'
import { ENDINGS, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { findBindingClock, getOpenStanding, SETTLED_STANDINGS, type Standing } from '@/lib/hold/standing'
import {
  AT_RISK_AT,
  forecastColumns,
  type SampleForecast,
  TIGHT_AT,
  toSampleForecast,
} from './storedForecast'

/** One sample as a list shows it. Instants in ms UTC. */
export interface SampleRow {
  code: string
  plant: string
  laboratory: string
  service: string | null
  product: string | null
  productName: string | null
  lot: string | null
  protocol: string | null
  purpose: string
  issuedAt: number
  /** The last reported milestone in the usual order; null while the kit is only issued. */
  stage: Milestone | null
  stageAt: number | null
  standing: Standing
  isSettled: boolean
  settledAt: number | null
  /** The kit that replaces it, by the register or an event; `UNSEEN_KIT` if the reader may not see its code. */
  replacedBy: string | null
  /** Most limits count days in this zone. */
  laboratoryZone: string
  /** lost, returned, rejected or cancelled, if it ended early. */
  ending: string | null
  /** The running or overrun clock that binds it. Without one there is no strip. */
  binding: Clock | null
  /** When that clock is likely to stop; null without a forecast. */
  forecast: SampleForecast | null
  /** The first clock that lapsed, stopped or not; one that ends with the report only where no other lapsed. */
  lapsed: Clock | null
  /** Reported milestones in the usual order, by their earliest reading. */
  milestones: { milestone: Milestone; at: number }[]
  /** Milestones that were not reported though a later one was. */
  missingMilestones: Milestone[]
  /** Kinds of warnings about its events. */
  flags: string[]
}

/** A clock as the column `sample.clocks` keeps it. */
export const storedClock = z.strictObject({
  limit,
  startedAt: z.number().nullable(),
  stoppedAt: z.number().nullable(),
  // Rows of version 9 and before have neither of these: no limit had a least time.
  stoppedEarliestAt: z.number().nullable().default(null),
  earliestStopAt: z.number().nullable().default(null),
  dueAt: z.number().nullable(),
  firstDueAt: z.number().nullable(),
  isEnded: z.boolean(),
  isNotReported: z.boolean(),
})

/** A row of `SCORED_SAMPLES`; its keys are the columns that `ROW_COLUMNS` selects, in this order. */
export const storedSample = z.object({
  code: z.string(),
  plant: z.string(),
  laboratory: z.string(),
  service: z.string().nullable(),
  product: z.string().nullable(),
  lot: z.string().nullable(),
  protocol: z.string().nullable(),
  purpose: z.enum(PURPOSES),
  issued_at: z.date(),
  stage: z.enum(MILESTONES).nullable(),
  stage_at: z.date().nullable(),
  settled: z.enum(SETTLED_STANDINGS).nullable(),
  settled_at: z.date().nullable(),
  ending: z.enum(ENDINGS).nullable(),
  replaced_by: z.string().nullable(),
  tight_at: z.date().nullable(),
  at_risk_at: z.date().nullable(),
  due_at: z.date().nullable(),
  has_lapsed: z.boolean(),
  clocks: z.array(storedClock),
  milestones: z.array(z.strictObject({ milestone: z.enum(MILESTONES), at: z.number() })),
  flags: z.array(z.string()),
  ...forecastColumns.shape,
})

export type StoredSample = z.infer<typeof storedSample>

/**
 * The kit that replaces a sample by the register. Without statistics on `replaces`, PostgreSQL would answer min() by walking
 * the primary key past all samples, for each row.
 */
const REPLACED_IN_REGISTER =
  '(select (array_agg(r.code order by r.code))[1] from sample r where r.replaces = sample.code)'

/** The kit that replaces a sample, by the register or by an event, whoever may see it. */
export const REPLACED_BY = `coalesce(${REPLACED_IN_REGISTER}, replaced_by)`

/** The same as its reader is shown it. For an EXISTS, PostgreSQL might read all samples. */
const SHOWN_REPLACEMENT = `coalesce(${REPLACED_IN_REGISTER},
  case when sample.replaced_by is null or (select holdfast_sees_all()) then sample.replaced_by
    else coalesce((select shown.code from sample shown where shown.code = sample.replaced_by), '${UNSEEN_KIT}') end)`

const COMPUTED_COLUMNS = new Map([
  ['replaced_by', SHOWN_REPLACEMENT],
  ['tight_at', TIGHT_AT],
  ['at_risk_at', AT_RISK_AT],
])

export const ROW_COLUMNS = Object.keys(storedSample.shape)
  .map((name) => (COMPUTED_COLUMNS.has(name) ? `${COMPUTED_COLUMNS.get(name)} as ${name}` : name))
  .join(', ')

/** `now` in ms UTC. */
export function toSampleRow(stored: StoredSample, register: Register, now: number): SampleRow {
  const instant = (date: Date | null) => date?.getTime() ?? null
  const times = {
    tightAt: instant(stored.tight_at),
    atRiskAt: instant(stored.at_risk_at),
    dueAt: instant(stored.due_at),
    hasLapsed: stored.has_lapsed,
  }
  const isSettled = stored.settled !== null
  const risks = new Map(Object.entries(stored.risks ?? {}))
  const binding = (isSettled ? undefined : findBindingClock(stored.clocks, now, risks)) ?? null
  const {
    code,
    plant,
    laboratory,
    service,
    product,
    lot,
    protocol,
    purpose,
    stage,
    ending,
    milestones,
    flags,
  } = stored
  return {
    code,
    plant,
    laboratory,
    service,
    product,
    productName: register.findProduct(plant, product)?.name ?? null,
    lot,
    protocol,
    purpose,
    issuedAt: stored.issued_at.getTime(),
    stage,
    stageAt: instant(stored.stage_at),
    standing: stored.settled ?? getOpenStanding(times, now),
    isSettled,
    settledAt: instant(stored.settled_at),
    ending,
    binding,
    forecast: toSampleForecast(stored, binding?.limit.name),
    lapsed: findFirstLapsed(stored.clocks, isSettled, now),
    replacedBy: stored.replaced_by,
    laboratoryZone: register.laboratories.get(laboratory)?.zone ?? 'UTC',
    milestones,
    missingMilestones: listMissingMilestones(
      stored.clocks,
      new Set(milestones.map(({ milestone }) => milestone)),
    ),
    flags,
  }
}

function findFirstLapsed(clocks: readonly Clock[], isSettled: boolean, now: number): Clock | null {
  const lapsed = clocks.filter((clock) => {
    const state = getClockState(clock, now)
    return state === 'lapsed' || (!isSettled && state === 'overrun' && !clock.isNotReported)
  })
  const isReport = ({ limit }: Clock) => Number(limit.to === 'reported')
  return (
    lapsed.sort((a, b) => isReport(a) - isReport(b) || (a.dueAt as number) - (b.dueAt as number))[0] ?? null
  )
}
