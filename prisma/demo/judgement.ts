import { dueAt } from '@/lib/hold/due'
import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { type OpenStanding, TIME_SHARES } from '@/lib/hold/standing'
import type { DraftEvent } from './draftEvent'
import type { KitEntry, LimitEntry, ProtocolEntry } from './registerDocument'
import type { Setting } from './setting'

/** One kit with all that was, or will be, said about it. A consignment's drafts are shared between its samples. */
export interface DemoSample {
  kit: KitEntry
  plantZone: string
  drafts: DraftEvent[]
}

const ENDINGS = ['lost', 'returned', 'rejected', 'cancelled']

/** Where a sample stands at the setting's now, by the milestones counted then. */
export interface Judgement {
  isOpen: boolean
  /** Of an open sample, by the time used; of a settled one `lapsed` if any clock lapsed, else `sound`. */
  standing: OpenStanding
  /** The largest share of a running clock's time that is used; 2 where a clock stopped too late. */
  used: number
  /** The furthest milestone, `none` before production. */
  furthest: Milestone | 'none'
}

/**
 * A quick reading of a sample, only to keep the demo's proportions: the generator redraws what would crowd the
 * board. What the pages show is computed from the events by the product itself.
 */
export function judge(sample: DemoSample, setting: Setting): Judgement {
  const counted = countedDrafts(sample.drafts, setting.now)
  const spans = new Map<string, { first: number; last: number }>()
  for (const { kind, time } of counted) {
    const span = spans.get(kind)
    const first = Math.min(span?.first ?? time.earliestAt, time.earliestAt)
    spans.set(kind, { first, last: Math.max(span?.last ?? time.latestAt, time.latestAt) })
  }
  const furthest = MILESTONES.findLast((milestone) => spans.has(milestone)) ?? 'none'
  const hasEnded = ENDINGS.some((ending) => spans.has(ending))
  const protocol = protocolOf(sample, counted, setting)
  const limits = protocol?.limits ?? []
  const isStopped = limits.every((limit) => spans.has(limit.to))
  const isOpen = !hasEnded && !spans.has('reported') && !isStopped
  const used = Math.max(
    0,
    ...limits.map((limit) => shareUsed(limit, spans, sample, counted, setting, isOpen)),
  )
  return { isOpen, standing: standingOf(used), used, furthest }
}

/** The drafts known and not corrected at `now`, without those ahead of it. */
function countedDrafts(drafts: readonly DraftEvent[], now: number): DraftEvent[] {
  return drafts.filter(
    ({ knownAt, outAt, time }) =>
      knownAt <= now && !(outAt !== undefined && outAt <= now) && time.earliestAt <= now,
  )
}

function protocolOf(sample: DemoSample, counted: DraftEvent[], setting: Setting): ProtocolEntry | undefined {
  const code = sample.kit.product ?? counted.find((draft) => draft.product !== undefined)?.product
  return setting.protocols.get(setting.products.get(code ?? '')?.protocol ?? '')
}

/** 0 for a clock that is kept or not started, the share of its time used while it runs, above 1 once it lapsed. */
function shareUsed(
  limit: LimitEntry,
  spans: ReadonlyMap<string, { first: number; last: number }>,
  sample: DemoSample,
  counted: readonly DraftEvent[],
  setting: Setting,
  isOpen: boolean,
): number {
  const start = spans.get(limit.from)?.first
  const stop = spans.get(limit.to)?.last
  const laboratory = setting.laboratories.get(sample.kit.laboratory)
  if (start === undefined || !laboratory || (stop === undefined && !isOpen)) return 0
  const isPassed = [...spans.keys()].some(
    (kind) => MILESTONE_ORDER[kind as Milestone] > MILESTONE_ORDER[limit.to],
  )
  if (stop === undefined && isPassed) return 0
  const extended = counted.findLast(({ kind, facts }) => kind === 'extended' && facts?.limit === limit.name)
  const until = extended ? Date.parse(String(extended.facts?.until)) : undefined
  const due =
    until ?? dueAt(limit, start, { plantZone: sample.plantZone, laboratory: laboratory.days.calendar })
  if (stop !== undefined) return stop > due ? 2 : 0
  return (setting.now - start) / (due - start)
}

function standingOf(used: number): OpenStanding {
  if (used > 1) return 'lapsed'
  if (used >= TIME_SHARES.atRisk) return 'at risk'
  return used >= TIME_SHARES.tight ? 'tight' : 'sound'
}
