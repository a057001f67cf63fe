import type { ReadEvent } from '@/lib/custody/event'
import { writtenIn } from '@/lib/custody/handTime'
import { type HandForm, handFormOf } from './handFields'

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
