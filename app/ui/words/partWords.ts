import type { Turnaround } from '@/lib/store/read/figures/turnaround'

type PartName = Turnaround['parts'][number]['name']

const NAMES: Record<PartName, string> = {
  'kit out': 'kit issued to cut',
  cut: 'made to cut',
  ship: 'cut to hand-over',
  transit: 'on the way',
  dock: 'delivered to received',
  'wait for chamber': 'received to chamber',
  'test and report': 'chamber to report',
  'receipt to report': 'received to report, in all',
}

/** What a part of a sample's way is called, as the head of a row. */
export function partName(name: PartName): string {
  return NAMES[name]
}
