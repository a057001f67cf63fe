import { firstInstantOf, parseDay } from '@/lib/hold/zone'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import type { FieldProblem, FormValues } from './formValues'

/** Lists whose versions judge clocks and days from a time on; what the others say holds at once. */
export const HOLDING_FROM: readonly RegisterList[] = ['laboratories', 'protocols', 'products']

/**
 * From when a change holds, ms UTC: the first instant of the day named, in the laboratory's zone, or in UTC where the
 * entry has none; null, from the moment of entering it, where no day is named.
 */
export function holdsFromOf(
  values: FormValues,
  zone: string | null,
  now: number,
): { holdsFromAt: number | null; problems: FieldProblem[] } {
  const text = values.holdsFrom ?? ''
  if (text === '') return { holdsFromAt: null, problems: [] }
  const day = parseDay(text)
  const at = day === undefined ? null : firstInstantOf(day, zone ?? 'UTC')
  if (at !== null && at > now) return { holdsFromAt: at, problems: [] }
  const detail = 'Name a day after today, or leave it empty for now: what is past keeps what held then.'
  return { holdsFromAt: null, problems: [{ field: 'holdsFrom', detail }] }
}
