import { DEFAULT_THRESHOLDS } from '@/lib/hold/standing'
import { getSampleGroup, isListed, isUrgent, SAMPLE_GROUPS } from '@/lib/judgement/sampleGroup'
import { compareUrgency, getUrgency } from '@/lib/judgement/urgency'
import type { JudgedRow } from './judgedRow'

/**
 * Orders rows: those that need someone today by what leads of each, as the due page and the weekly mail order it. Then the rest by
 * group, replaced samples last: those at risk or tight by the chance to miss, in whole per cent, then by due; what proves nothing
 * with the last lapsed first. Settled samples that ask for nothing come last of all, the last settled first.
 */
export function compareRows(a: JudgedRow, b: JudgedRow): number {
  const byCode = a.code < b.code ? -1 : a.code > b.code ? 1 : 0
  const [isListedA, isListedB] = [isListed(a), isListed(b)]
  if (isListedA !== isListedB) return isListedA ? -1 : 1
  if (!isListedA) return (b.settledAt ?? 0) - (a.settledAt ?? 0) || byCode
  const [leadA, leadB] = [findUrgent(a), findUrgent(b)]
  if (leadA !== null && leadB !== null)
    return compareUrgency(getUrgency(leadA, a.code), getUrgency(leadB, b.code))
  if (leadA !== leadB) return leadA === null ? 1 : -1
  return (
    getRank(a) - getRank(b) ||
    getRiskPercent(b) - getRiskPercent(a) ||
    (isOver(a) ? getDueAt(b) - getDueAt(a) : getDueAt(a) - getDueAt(b)) ||
    byCode
  )
}

/** The act that leads, if it needs someone today. */
function findUrgent({ judgement }: JudgedRow) {
  return isUrgent(judgement) ? (judgement?.acts[0] ?? null) : null
}

function getRank({ judgement, standing, replacedBy }: JudgedRow): number {
  return replacedBy === null
    ? SAMPLE_GROUPS.indexOf(getSampleGroup(judgement, standing))
    : SAMPLE_GROUPS.length
}

/** Whether it can no longer be saved. */
function isOver({ judgement, standing }: JudgedRow): boolean {
  const group = getSampleGroup(judgement, standing)
  return group === 'to be replaced' || group === 'unfit' || group === 'of no use'
}

/** The chance to miss, per cent; without a forecast, the threshold of its standing. */
function getRiskPercent({ standing, forecast }: JudgedRow): number {
  if (standing !== 'at risk' && standing !== 'tight') return 0
  const begins = standing === 'tight' ? DEFAULT_THRESHOLDS.tight : DEFAULT_THRESHOLDS.atRisk
  return Math.round(100 * (forecast?.risk ?? begins))
}

function getDueAt(row: JudgedRow): number {
  const clock = row.standing === 'lapsed' ? (row.lapsed ?? row.binding) : row.binding
  return clock?.dueAt ?? Number.MAX_SAFE_INTEGER
}
