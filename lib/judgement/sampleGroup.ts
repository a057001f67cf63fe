import type { Standing } from '@/lib/hold/standing'
import type { Judgement } from './judge'

/**
 * How lists count and order open samples, what presses most first. A sample that proves nothing and asks nobody for anything is
 * of no use, and comes last.
 */
export const SAMPLE_GROUPS = [
  'to be replaced',
  'unfit',
  'in question',
  'lapsed',
  'at risk',
  'tight',
  'sound',
  'of no use',
] as const
export type SampleGroup = (typeof SAMPLE_GROUPS)[number]

/** Counts of samples by their group. */
export type Tally = Record<SampleGroup, number>

/** The group of an open sample. `judgement` is null where nothing can be asked about it, `standing` that of now. */
export function getSampleGroup(
  judgement: Pick<Judgement, 'fitness' | 'acts'> | null,
  standing: Standing,
): SampleGroup {
  const known = SAMPLE_GROUPS.find((one) => one === standing) ?? 'of no use'
  if (judgement === null) return known === 'lapsed' ? 'of no use' : known
  const { fitness, acts } = judgement
  if (fitness === 'in question') return 'in question'
  if (fitness === 'fit') return known
  if (acts.length === 0) return 'of no use'
  return acts.some(({ act }) => act === 'replace it') ? 'to be replaced' : 'unfit'
}

/** Whether it needs someone today. */
export function isUrgent(judgement: Pick<Judgement, 'acts'> | null): boolean {
  return judgement?.acts.some((act) => act.isUrgent) ?? false
}

/** A tally of groups, of which each counts once. */
export function tally(groups: readonly SampleGroup[]): Tally {
  const counts = Object.fromEntries(SAMPLE_GROUPS.map((one) => [one, 0])) as Tally
  for (const group of groups) counts[group] += 1
  return counts
}

/** The samples that a tally counts, of all groups or of some. */
export function countTally(counts: Tally, groups: readonly SampleGroup[] = SAMPLE_GROUPS): number {
  return groups.reduce((total, one) => total + counts[one], 0)
}
