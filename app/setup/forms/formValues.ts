import { getDayStart, parseIsoDate } from '@/lib/hold/zone'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
/** The fields of a form as text, by name. */
export type FormValues = Record<string, string>

/** What is wrong in a form: in which field ('' for the whole of it), and what would be right. */
export interface FieldProblem {
  field: string
  detail: string
}

/** The fields of a form or an address; a field that comes twice counts once. */
export function readFormValues(fields: FormData | URLSearchParams): FormValues {
  const values: FormValues = {}
  for (const [name, value] of fields) if (typeof value === 'string') values[name] = value.trim()
  return values
}

/** A text that may be left out: undefined where it is empty, so that it is left out of an entry as well. */
export function emptyToUndefined(text: string | undefined): string | undefined {
  return text === undefined || text === '' ? undefined : text
}

/** The lines or parts of a field that holds several. */
export function splitParts(text: string | undefined, between: RegExp): string[] {
  return (text ?? '')
    .split(between)
    .map((part) => part.trim())
    .filter((part) => part !== '')
}

/** Lists whose versions judge clocks and days from a time on; what the others say holds at once. */
export const EFFECTIVE_DATED_LISTS: readonly RegisterList[] = ['laboratories', 'protocols', 'products']

/**
 * From when a change holds, ms UTC: the first instant of the day named, in the laboratory's zone, or in UTC where the
 * entry has none; null, from the moment of entering it, where no day is named.
 */
export function parseHoldsFrom(
  values: FormValues,
  zone: string | null,
  now: number,
): { holdsFromAt: number | null; problems: FieldProblem[] } {
  const text = values.holdsFrom ?? ''
  if (text === '') return { holdsFromAt: null, problems: [] }
  const day = parseIsoDate(text)
  const at = day === undefined ? null : getDayStart(day, zone ?? 'UTC')
  if (at !== null && at > now) return { holdsFromAt: at, problems: [] }
  const detail = 'Name a day after today, or leave it empty for now: what is past keeps what held then.'
  return { holdsFromAt: null, problems: [{ field: 'holdsFrom', detail }] }
}
