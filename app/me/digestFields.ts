import { isLanguage } from '@/lib/digest/weekly/dateFormat'
import { parseIsoDate } from '@/lib/hold/zone'
import { ALERT_KINDS, type AlertKind } from '@/lib/judgement/alertKinds'
import type { Translate } from '@/lib/messages/translate'

/** What the form of the weekly mail holds, as it was typed. */
export interface DigestFields {
  wanted: string
  quiet: string
  language: string
  standIn: string
  from: string
  until: string
  /** What is told at once, with commas between. */
  atOnce: string
}

export type DigestFaults = Partial<Record<keyof DigestFields, string>>

/** The fields out of a form or an address; null where there are none. */
export function parseDigestFields(form: {
  get(name: string): string | null
  getAll(name: string): string[]
}): DigestFields | null {
  if (form.get('language') === null) return null
  const text = (name: string) => (form.get(name) ?? '').trim().slice(0, 200)
  return {
    wanted: text('wanted'),
    quiet: text('quiet'),
    language: text('language'),
    standIn: text('standIn'),
    from: text('from'),
    until: text('until'),
    atOnce: parseAlertKinds(form.getAll('atOnce').join(',')).join(','),
  }
}

/** The kinds of what is told at once that a text with commas names. */
export function parseAlertKinds(text: string): AlertKind[] {
  const named = new Set(text.split(','))
  return ALERT_KINDS.filter((kind) => named.has(kind))
}

/** What is wrong with them, beside the field that it concerns. */
export function validateDigestFields(
  t: Translate,
  fields: DigestFields,
  standIns: readonly { id: string }[],
): DigestFaults {
  const faults: DigestFaults = {}
  const { language, standIn, from, until } = fields
  if (!isLanguage(language))
    faults.language = `“${language}” is no language that dates can be written in. Write it like en-GB, de or pt-BR.`
  if (standIn === '') return faults
  if (!standIns.some(({ id }) => id === standIn))
    faults.standIn =
      'That person is at none of your plants or laboratories any more. Choose another, or nobody.'
  const [first, last] = [parseIsoDate(from), parseIsoDate(until)]
  if (first === undefined) faults.from = 'Give the first day that you are away, as year-month-day.'
  if (last === undefined) faults.until = 'Give the last day that you are away, as year-month-day.'
  else if (first !== undefined && last < first)
    faults.until = 'The last day is before the first. Give a later one.'
  return faults
}
