import { getDayStart, parseIsoDate } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'

/** The fields of a form as text, by name. */
export type FormValues = Record<string, string>

/** What is wrong in a form, and what would be right. */
export interface FieldProblem {
  /** The name of the field; '' for the form as a whole. */
  field: string
  detail: Message
}

/** Reads a form or the query of an address; of a field that comes twice the last value counts. */
export function readFormValues(fields: FormData | URLSearchParams): FormValues {
  const values: FormValues = {}
  for (const [name, value] of fields) if (typeof value === 'string') values[name] = value.trim()
  return values
}

/** Undefined for an empty text, so that JSON leaves the member out. */
export function emptyToUndefined(text: string | undefined): string | undefined {
  return text === undefined || text === '' ? undefined : text
}

/** Splits a field that holds several values; empty parts are dropped. */
export function splitParts(text: string | undefined, separator: RegExp): string[] {
  return (text ?? '')
    .split(separator)
    .map((part) => part.trim())
    .filter((part) => part !== '')
}

/** Lists whose versions decide how clocks and days are judged, so a change can be given a first day. */
export const EFFECTIVE_DATED_LISTS: readonly RegisterList[] = ['laboratories', 'protocols', 'products']

/**
 * Reads from when a change holds, in ms UTC: the first instant of the day entered, in `zone`, or in UTC if the entry has
 * no zone; null if no day is entered, which means now.
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
  return { holdsFromAt: null, problems: [{ field: 'holdsFrom', detail: message('setup.fault.holdsFrom') }] }
}
