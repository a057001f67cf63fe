import { isLanguage } from '@/lib/digest/weekly/dateFormat'
import { parseIsoDate } from '@/lib/hold/zone'
import { ALERT_KINDS, type AlertKind } from '@/lib/judgement/alertKinds'
import { type Message, message } from '@/lib/messages/message'

/** The form of mail preferences, as it was typed. */
export interface DigestFields {
  wanted: string
  quiet: string
  language: string
  standIn: string
  from: string
  until: string
  /** Kinds of alerts, separated by commas. */
  alerts: string
}

export type DigestFaults = Partial<Record<keyof DigestFields, Message>>

/** Reads the fields of a form or an address; null if there are none. */
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
    alerts: parseAlertKinds(form.getAll('alerts').join(',')).join(','),
  }
}

/** The kinds of alerts that a text with commas names. */
export function parseAlertKinds(text: string): AlertKind[] {
  const named = new Set(text.split(','))
  return ALERT_KINDS.filter((kind) => named.has(kind))
}

export function validateDigestFields(
  fields: DigestFields,
  standIns: readonly { id: string }[],
): DigestFaults {
  const faults: DigestFaults = {}
  const { language, standIn, from, until } = fields
  if (!isLanguage(language)) faults.language = message('mailPreferences.fault.language', { language })
  if (standIn === '') return faults
  if (!standIns.some(({ id }) => id === standIn)) faults.standIn = message('mailPreferences.fault.standIn')
  const [first, last] = [parseIsoDate(from), parseIsoDate(until)]
  if (first === undefined) faults.from = message('mailPreferences.fault.from')
  if (last === undefined) faults.until = message('mailPreferences.fault.until')
  else if (first !== undefined && last < first) faults.until = message('mailPreferences.fault.order')
  return faults
}
