import type { ReadEvent } from '@/lib/custody/event'
import { ASKED_FIELDS } from '@/lib/custody/eventKinds'
import { writtenIn } from '@/lib/custody/handTime'

/** The fields of the form in which a person records an event; all are texts, empty where nothing is said. */
export const HAND_FIELDS = ['kind', 'date', 'time', ...ASKED_FIELDS, 'corrects'] as const

export type HandField = (typeof HAND_FIELDS)[number]
export type HandForm = Record<HandField, string>

/** A form from what `get` has under each field's name. */
export function handFormOf(get: (field: HandField) => string | null | undefined): HandForm {
  return Object.fromEntries(HAND_FIELDS.map((field) => [field, (get(field) ?? '').trim()])) as HandForm
}

/** The form that would record an event again, on the clocks of `zone`; it corrects that event. */
export function formOfEvent(event: ReadEvent, zone: string): HandForm {
  const { facts, service, waybill, product, lot, kind, source, id } = event
  const isDate = /^\d{4}-\d{2}-\d{2}$/.test(event.at)
  const { date, time } = writtenIn(zone, event.earliestAt)
  const fact = (name: string) => {
    const value = facts?.[name]
    return typeof value === 'string' || typeof value === 'number' ? String(value) : ''
  }
  const [untilDate = '', untilTime = ''] = fact('until').split('T')
  const intact = facts?.['seal intact']
  const said: Partial<HandForm> = {
    kind,
    date: isDate ? event.at : date,
    time: isDate ? '' : time,
    service: service ?? '',
    waybill: waybill ?? '',
    product: product ?? '',
    lot: lot ?? '',
    seal: typeof intact === 'boolean' ? (intact ? 'yes' : 'no') : '',
    untilDate,
    untilTime,
    corrects: `${source}/${id}`,
  }
  return handFormOf((field) => said[field] ?? fact(field))
}
