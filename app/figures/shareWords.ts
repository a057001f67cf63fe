import type { Figures } from '@/lib/store/read/figures/figures'

/**
 * The share of samples kept among those that were kept or lapsed, cut down to a whole percentage so that 100 % is said
 * of nothing less; null where one of the three counts is not told, empty where there is none.
 */
export function shareWords({ figures }: Figures['months'][number]['settled']): string | null {
  const count = (name: string) => figures.find((one) => one.name === name)?.count ?? null
  const [kept, extended, lapsed] = [count('kept'), count('kept by extension'), count('lapsed')]
  if (kept === null || extended === null || lapsed === null) return null
  if (kept + extended + lapsed === 0) return ''
  return `${Math.floor((100 * (kept + extended)) / (kept + extended + lapsed))} %`
}
