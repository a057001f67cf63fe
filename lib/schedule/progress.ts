import { listUnruled } from '@/lib/custody/finding'
import { splitFaultKey } from '@/lib/custody/findingKey'
import { type Failure, findFailure } from '@/lib/custody/fitness'
import type { Register } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { getDayStart, parseIsoDate, toLocalDay } from '@/lib/hold/zone'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { ACTS, type ActKind } from './act'

/** Whether this milestone or a later one was reported. */
export function hasReached({ history }: Sample, milestone: Milestone): boolean {
  return MILESTONES.some(
    (one) => MILESTONE_ORDER[one] >= MILESTONE_ORDER[milestone] && history.milestones.has(one),
  )
}

/** Whether the kit has left the programme by `now` (ms UTC); `zone` is the plant's. */
export function isPosted(sample: Sample, zone: string, now: number): boolean {
  const { posted, issuedAt } = sample.kit
  if (hasReached(sample, 'produced')) return true
  if (posted === 'not yet') return false
  return (posted === null ? issuedAt : getDayStart(parseIsoDate(posted) as number, zone)) <= now
}

/** The local day (in `zone`) on which a posted kit left for its plant; the day of its issue if nothing else is known. */
export function findPostedDay({ kit: { posted, issuedAt } }: Sample, zone: string): number {
  return parseIsoDate(posted ?? '') ?? toLocalDay(issuedAt, zone)
}

export function isDone(sample: Sample, act: ActKind, plantZone: string, now: number): boolean {
  const { milestone } = ACTS[act]
  return milestone === null ? isPosted(sample, plantZone, now) : hasReached(sample, milestone)
}

/** When a receipt last found the form missing or incomplete, ms UTC; null if none did. */
export function findFormFaultAt({ findings }: Pick<Sample, 'findings'>): number | null {
  return findings.findLast(({ key }) => splitFaultKey(key)?.fault === 'form')?.at ?? null
}

/**
 * Whether a sample that can still be used has left by `now` (ms UTC), and the copy of its form has not arrived, or none since the
 * form was found missing.
 */
export function owesFormCopy(sample: Sample, now: number): boolean {
  const { milestones, ending, replacedBy } = sample.history
  const hasLeft = milestones.has('dispatched') || milestones.has('received')
  if (!hasLeft || hasReached(sample, 'reported')) return false
  if (sample.formCopyAt !== null && sample.formCopyAt >= (findFormFaultAt(sample) ?? 0)) return false
  return ending === null && replacedBy === null && findFailure(sample, now) === null
}

/** Why a sample proves nothing and has to be cut again, as sentences: one without a day, one with it ({day}). */
export const FAILURE_REASONS = {
  lapsed: { text: 'overdue.lapsed.why', onDay: 'overdue.lapsed.on' },
  lost: { text: 'overdue.lost.why', onDay: 'overdue.lost.on' },
  returned: { text: 'overdue.returned.why', onDay: 'overdue.returned.on' },
  rejected: { text: 'overdue.rejected.why', onDay: 'overdue.rejected.on' },
  'cut again': { text: 'overdue.cutAgain.why', onDay: 'overdue.cutAgain.on' },
} as const satisfies Record<Failure, { text: MessageKey; onDay: MessageKey }>

/** Why a sample has to be cut again; with its day where that is given. */
export function formatFailure(t: Translate, reason: Failure | null, day?: string): string {
  const { text, onDay } =
    reason === null
      ? ({ text: 'overdue.unknownFailure.why', onDay: 'overdue.unknownFailure.on' } as const)
      : FAILURE_REASONS[reason]
  return day === undefined ? t(text) : t(onDay, { day })
}

/** What decides, at any time, whether a sample can need an action; a query finds samples by it. */
interface ActionFacts {
  /** The product it counts for; null if its plant has no such product. */
  countedProduct: string | null
  /** Since when (ms UTC) it has to be cut again, by what was reported: a clock that ran out unreported does not show here. */
  failedAt: number | null
  /** Whether a finding waits for a ruling, now or later. */
  isUnruled: boolean
}

export function computeActionFacts(sample: Sample, register: Register): ActionFacts {
  return {
    countedProduct: register.findTestedProduct(sample.kit.plant, sample.product)?.code ?? null,
    // At minus infinity no running clock has run out, so only what was reported counts.
    failedAt: findFailure(sample, Number.NEGATIVE_INFINITY)?.at ?? null,
    isUnruled: listUnruled(sample.findings, Number.POSITIVE_INFINITY).length > 0,
  }
}
