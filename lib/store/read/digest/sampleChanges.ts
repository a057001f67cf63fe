import type pg from 'pg'
import { z } from 'zod'
import { findEarliest } from '@/lib/hold/extremes'
import type { Milestone } from '@/lib/hold/milestone'
import type { AlertKind } from '@/lib/judgement/alertKinds'
import { withReadTransaction } from '../../projection/readTransaction'
import { STANDING_SQL } from '../../projection/sampleConditions'
import {
  REPLACED_BY,
  ROW_COLUMNS,
  type SampleRow,
  type StoredSample,
  storedSample,
  toSampleRow,
} from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { journeyColumn, type StoredJourney } from '../../projection/storedJourney'
import { statement } from '../../scope/statement'
import { findHoldChanges, type HoldChange } from './holdChanges'

export type SamplePlace = Pick<StoredSample, 'code' | 'plant' | 'laboratory'>

/**
 * The changes that a sample’s row and its reports show. At risk is not one: it comes and goes, and has alarms of its own
 * (`enqueueAlerts`); nor is what was found, of which there may be more than one (`findHoldChanges`).
 */
type ChangeKind = Exclude<AlertKind, 'at risk' | 'hold'>

/** A change of a sample: when it happened, and when it became known (`at`), ms UTC. */
export interface SampleChange extends SamplePlace {
  kind: ChangeKind
  happenedAt: number
  at: number
}

/** How far changes have been read: a time (ms UTC) and the newest event then. */
export interface ChangesCheckpoint {
  checkedAt: number
  eventSeq: string
}

/** Where to read on. Without an event, all events are read that were received since the time. */
export type ChangesStart = Pick<ChangesCheckpoint, 'checkedAt'> & { eventSeq: string | null }

export interface SampleChanges {
  checkpoint: ChangesCheckpoint
  /** Open samples that are at risk or lapsed, and not replaced. */
  urgent: (SamplePlace & { hasLapsed: boolean })[]
  /** Changes of samples with an event, or with a due that has passed, since the last checkpoint. */
  changes: SampleChange[]
  /** What was found on the same samples and waits for a ruling. */
  holds: HoldChange[]
}

const NEWEST = statement(
  z.object({ seq: z.string() }),
  'select coalesce(max(seq), 0)::text as seq from event',
)

const URGENT = statement(
  storedSample.pick({ code: true, plant: true, laboratory: true }).extend({ hasLapsed: z.boolean() }),
  `select code, plant, laboratory, standing = 'lapsed' as "hasLapsed"
   from (select code, plant, laboratory, ${STANDING_SQL} as standing from ${SCORED_SAMPLES}
         where settled is null and ${REPLACED_BY} is null) as open
   where standing in ('at risk', 'lapsed') order by code`,
)

const CONCERNED = statement(
  storedSample.extend({ journey: journeyColumn.nullable(), isUnruled: z.boolean() }),
  `with new as (select sample, service, waybill_key, corrects from event
     where case when $1::bigint is null then received_at >= $2 else seq > $1 end)
   select ${ROW_COLUMNS}, journey, is_unruled as "isUnruled" from ${SCORED_SAMPLES} where code in (
     select sample from new
     union select sent.sample from new join event sent on sent.sample is not null and sent.kind = 'dispatched'
       and sent.service = new.service and sent.waybill_key = new.waybill_key where new.sample is null
     union select old.sample from new join event old on old.source = split_part(new.corrects, '/', 1)
       and old.id = substr(new.corrects, strpos(new.corrects, '/') + 1)
     union select code from sample where settled is null and pressing_at >= $2 and pressing_at < $3)
   order by code`,
)

/**
 * The changes of samples of all makers between the `last` checkpoint and `now` (ms UTC); none without a checkpoint. A
 * change may be found again when another event concerns its sample, always with the same time. A due that a change of
 * the register moves into the past is no change, nor is an event dated ahead when its time comes.
 */
export async function findSampleChanges(
  pool: pg.Pool,
  last: ChangesStart | null,
  now: number,
): Promise<SampleChanges> {
  return withReadTransaction(pool, 'all', now, async ({ client, register }) => {
    const { seq } = await NEWEST.one(client)
    const urgent = await URGENT.all(client, [new Date(now)])
    const rows = last
      ? await CONCERNED.all(client, [last.eventSeq, new Date(last.checkedAt), new Date(now)])
      : []
    const changes = rows.flatMap((stored) => findChanges(toSampleRow(stored, register, now), stored.journey))
    const inQuestion = rows.filter(({ isUnruled }) => isUnruled).map(({ code }) => code)
    const holds = await findHoldChanges(client, inQuestion, register, now)
    return { checkpoint: { checkedAt: now, eventSeq: seq }, urgent, changes, holds }
  })
}

/** How each kind of change is found; null if the sample has not changed so. */
const FINDERS: Record<
  ChangeKind,
  (row: SampleRow, reports: StoredJourney['reports']) => Pick<SampleChange, 'happenedAt' | 'at'> | null
> = {
  arrived: ({ milestones }, reports) => {
    const received = milestones.find(({ milestone }) => milestone === 'received')
    const at = getKnownAt(reports, 'received')
    return received && at !== null ? { happenedAt: received.at, at } : null
  },
  // A passed due is known only once its start is known and no standing report says that it was met.
  lapsed: ({ lapsed, replacedBy }, reports) => {
    // A late report is late: the sample has not lapsed by it.
    if (!lapsed || lapsed.limit.to === 'reported' || replacedBy !== null) return null
    const happenedAt = lapsed.dueAt as number
    const started = getKnownAt(reports, lapsed.limit.from) ?? Number.NEGATIVE_INFINITY
    const withdrawn = reports.flatMap(([milestone, , , , withdrawnAt]) =>
      milestone === lapsed.limit.to && withdrawnAt !== null ? [withdrawnAt] : [],
    )
    return { happenedAt, at: Math.max(happenedAt, started, ...withdrawn) }
  },
}

const CHANGE_KINDS = Object.keys(FINDERS) as ChangeKind[]

function findChanges(row: SampleRow, journey: StoredJourney | null): SampleChange[] {
  const { code, plant, laboratory } = row
  return CHANGE_KINDS.flatMap((kind) => {
    const found = FINDERS[kind](row, journey?.reports ?? [])
    return found ? { kind, code, plant, laboratory, ...found } : []
  })
}

/** When a milestone first became known by a report that is not withdrawn; null without one. */
function getKnownAt(reports: StoredJourney['reports'], milestone: Milestone): number | null {
  const known = reports.filter(([of, , , , withdrawnAt]) => of === milestone && withdrawnAt === null)
  return known.length === 0 ? null : findEarliest(known.map(([, , , at]) => at))
}
