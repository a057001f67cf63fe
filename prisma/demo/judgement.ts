import { buildClock, type Clock, getClockState } from '@/lib/hold/clock'
import { ENDINGS, MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import {
  canBind,
  computeStandingTimes,
  DEFAULT_THRESHOLDS,
  getOpenStanding,
  type OpenStanding,
  type Thresholds,
} from '@/lib/hold/standing'
import { scoreSample } from '@/lib/store/projection/scoreSample'
import { toDemoJourney } from './demoJourney'
import type { DemoSample, DraftEvent } from './draftEvent'
import type { ProtocolEntry } from './registerDocument'
import type { Setting } from './setting'

/** A sample's standing at the setting's `now`, by the milestones counted then. */
export interface Judgement {
  isOpen: boolean
  /**
   * An open sample: by its chance to miss a limit if there is a transit model, else by the time used. A settled one:
   * `lapsed` if any clock lapsed, else `sound`.
   */
  standing: OpenStanding
  /** Whether a slightly different model would give another standing. */
  isDoubtful: boolean
  /** The largest share of a running clock's time that is used; 2 if a clock stopped too late. */
  used: number
  /** The latest milestone, `none` before production. */
  furthest: Milestone | 'none'
}

/**
 * A quick assessment of a sample that only serves the demo's proportions: the generator redraws what would crowd the
 * board. The product itself computes what the pages show.
 */
export function judgeSample(sample: DemoSample, setting: Setting): Judgement {
  const counted = filterCounted(sample.drafts, setting.now)
  const spans = toSpans(counted)
  const furthest = MILESTONES.findLast((milestone) => spans.has(milestone)) ?? 'none'
  const hasEnded = ENDINGS.some((ending) => spans.has(ending))
  const protocol = findProtocol(sample, counted, setting)
  const isStopped = (protocol?.limits ?? []).every((limit) => spans.has(limit.to))
  const isOpen = !hasEnded && !spans.has('reported') && !isStopped
  const clocks = toClocks(sample, protocol, spans, counted, setting, hasEnded)
  const used = Math.max(0, ...clocks.map((clock) => computeShareUsed(clock, isOpen, setting.now)))
  const [low, standing, high] = [0.75, 1, 1.35].map((factor) =>
    computeStanding(sample, clocks, scaleThresholds(protocol, factor), setting, isOpen),
  ) as [OpenStanding, OpenStanding, OpenStanding]
  return { isOpen, standing, isDoubtful: low !== high, used, furthest }
}

/** The first and last reading of the counted events, by kind. */
type Spans = ReadonlyMap<string, { first: number; last: number }>

function toSpans(counted: readonly DraftEvent[]): Spans {
  const spans = new Map<string, { first: number; last: number }>()
  for (const { kind, time } of counted) {
    const span = spans.get(kind)
    const first = Math.min(span?.first ?? time.earliestAt, time.earliestAt)
    spans.set(kind, { first, last: Math.max(span?.last ?? time.latestAt, time.latestAt) })
  }
  return spans
}

/** The drafts that are known, not corrected and not ahead at `now` (ms UTC). */
function filterCounted(drafts: readonly DraftEvent[], now: number): DraftEvent[] {
  return drafts.filter(
    ({ knownAt, outAt, time }) =>
      knownAt <= now && !(outAt !== undefined && outAt <= now) && time.earliestAt <= now,
  )
}

function findProtocol(
  sample: DemoSample,
  counted: DraftEvent[],
  setting: Setting,
): ProtocolEntry | undefined {
  const code = sample.kit.product ?? counted.find((draft) => draft.product !== undefined)?.product
  return setting.protocols.get(setting.products.get(code ?? '')?.protocol ?? '')
}

function toClocks(
  sample: DemoSample,
  protocol: ProtocolEntry | undefined,
  spans: Spans,
  counted: readonly DraftEvent[],
  setting: Setting,
  isEnded: boolean,
): Clock[] {
  const laboratory = setting.laboratories.get(sample.kit.laboratory)
  if (!laboratory) return []
  const isPassed = (milestone: Milestone) =>
    !spans.has(milestone) &&
    MILESTONES.some((later) => MILESTONE_ORDER[later] > MILESTONE_ORDER[milestone] && spans.has(later))
  return (protocol?.limits ?? []).map((limit) => {
    const extended = counted.findLast(({ kind, facts }) => kind === 'extended' && facts?.limit === limit.name)
    return buildClock(
      limit,
      {
        startedAt: spans.get(limit.from)?.first ?? null,
        stoppedAt: spans.get(limit.to)?.last ?? null,
        grants: extended
          ? [{ grantedAt: extended.time.earliestAt, untilAt: Date.parse(String(extended.facts?.until)) }]
          : [],
        isEnded,
        isNotReported: isPassed(limit.from) || isPassed(limit.to),
      },
      { plantZone: sample.plantZone, laboratory: laboratory.days.calendar },
    )
  })
}

/** 0 for a clock that is kept or not started, the share of time used while it runs, 2 once it lapsed. */
function computeShareUsed(clock: Clock, isOpen: boolean, now: number): number {
  if (getClockState(clock, now) === 'lapsed') return 2
  if (!isOpen || !canBind(clock)) return 0
  const [start, due] = [clock.startedAt as number, clock.dueAt as number]
  return (now - start) / (due - start)
}

/** The thresholds of a protocol, scaled by `factor`. */
function scaleThresholds(protocol: ProtocolEntry | undefined, factor: number): Thresholds {
  const { tight = DEFAULT_THRESHOLDS.tight, atRisk = DEFAULT_THRESHOLDS.atRisk } = protocol ?? {}
  return { tight: tight * factor, atRisk: atRisk * factor }
}

function computeStanding(
  sample: DemoSample,
  clocks: readonly Clock[],
  thresholds: Thresholds,
  { transitModel, now }: Setting,
  isOpen: boolean,
): OpenStanding {
  const times = computeStandingTimes(clocks)
  if (!isOpen) return times.hasLapsed ? 'lapsed' : 'sound'
  if (getOpenStanding(times, now) === 'lapsed' || !transitModel) return getOpenStanding(times, now)
  const score = scoreSample({ journey: toDemoJourney(sample, now), clocks }, thresholds, transitModel, now)
  return getOpenStanding(
    { ...times, ...(score && { tightAt: score.tightAt, atRiskAt: score.atRiskAt }) },
    now,
  )
}
