import type { Milestone } from '@/lib/hold/milestone'

/** From the issue of the kit or one milestone to another. */
export interface Stage {
  from: Milestone | 'issued'
  to: Milestone
}

const NAMES: Record<string, string> = {
  'issued collected': 'kit out to cut',
  'collected dispatched': 'cut to hand-over',
  'dispatched received': 'on the way',
  'received loaded': 'dock to chamber',
  'loaded reported': 'chamber to report',
}

/** What a stage of a sample's way is called, as the head of a column. */
export function stageName({ from, to }: Stage): string {
  return NAMES[`${from} ${to}`] ?? `${from} to ${to}`
}
