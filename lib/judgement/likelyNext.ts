import type { Milestone } from '@/lib/hold/milestone'

/** The usual order of reports, in which nobody waits for the carrier's. */
const NEXT: Record<Milestone | 'none', Milestone | null> = {
  none: 'collected',
  produced: 'collected',
  collected: 'sealed',
  sealed: 'dispatched',
  dispatched: 'received',
  delivered: 'received',
  received: 'conditioned',
  conditioned: 'loaded',
  loaded: 'reported',
  reported: null,
}

/** The milestone that is most likely to be reported next of a sample; null where it ended or is reported. */
export function findLikelyNext(sample: { stage: Milestone | null; ending: string | null }): Milestone | null {
  return sample.ending === null ? NEXT[sample.stage ?? 'none'] : null
}
