import { canonical } from '@/lib/custody/kitCode'

/** The page of ours to which a form leads back: the plant's or the receiving list, else the sample's. */
export function pagePath(from: string, sample: string, plant: string): string {
  if (from === 'receiving') return '/receiving'
  if (from === 'unplaced') return '/unplaced'
  if (from === 'plant') return `/plants/${encodeURIComponent(plant)}`
  return `/samples/${encodeURIComponent(canonical(sample))}`
}
