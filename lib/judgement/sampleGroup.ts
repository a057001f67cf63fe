import type { Standing } from '@/lib/hold/standing'
import type { Judgement } from './judge'

/**
 * How lists count samples that are open or ask for something, what presses most first. One whose limits are over and kept is to be
 * finished: a report or a paper is missing. One that proves nothing and asks nobody for anything is of no use, and comes last.
 */
export const SAMPLE_GROUPS = [
  'to be replaced',
  'unfit',
  'in question',
  'lapsed',
  'at risk',
  'tight',
  'sound',
  'to be finished',
  'of no use',
] as const
export type SampleGroup = (typeof SAMPLE_GROUPS)[number]

/** Counts of samples by their group. */
export type Tally = Record<SampleGroup, number>

/** The group of a sample. `judgement` is null where nothing can be asked about it, `standing` that of now. */
export function getSampleGroup(
  judgement: Pick<Judgement, 'fitness' | 'acts'> | null,
  standing: Standing,
): SampleGroup {
  const known = SAMPLE_GROUPS.find((one) => one === standing) ?? 'to be finished'
  if (judgement === null) return known === 'lapsed' ? 'of no use' : known
  const { fitness, acts } = judgement
  if (fitness === 'in question') return 'in question'
  if (fitness === 'fit') return known
  if (acts.length === 0) return 'of no use'
  return acts.some(({ act }) => act === 'replace it') ? 'to be replaced' : 'unfit'
}

/** Whether lists of what is under way have it: until it is settled, and after that while it asks for something. */
export function isListed(row: { isSettled: boolean; judgement?: Pick<Judgement, 'acts'> | null }): boolean {
  return !row.isSettled || (row.judgement?.acts.length ?? 0) > 0
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
