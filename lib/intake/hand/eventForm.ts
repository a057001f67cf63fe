import { readCondition } from '@/lib/custody/condition'
import type { ReadEvent } from '@/lib/custody/event'
import { EVENT_FIELDS, type EventField } from '@/lib/custody/eventKinds'
import { splitDateAndTime } from '@/lib/custody/handTime'
import { CONDITION_FIELDS, type ConditionField, toConditionAnswers } from './conditionForm'

/** What a form asks in one field; the condition of a receipt has a field for each of its parts. */
export type SingleField = Exclude<EventField, 'condition'>

export const SINGLE_FIELDS = EVENT_FIELDS.filter((field): field is SingleField => field !== 'condition')

export type EventFormField = 'kind' | 'date' | 'time' | SingleField | ConditionField | 'corrects' | 'confirm'

/** The fields of the form that records an event. All are texts, empty where not filled in. */
export const EVENT_FORM_FIELDS: readonly EventFormField[] = [
  'kind',
  'date',
  'time',
  ...SINGLE_FIELDS,
  ...CONDITION_FIELDS,
  'corrects',
  'confirm',
]

/** The value of `confirm` that records an event although it is early or must not happen. */
export const CONFIRMED = 'yes'

export type EventFormValues = Record<EventFormField, string>

export function readEventForm(get: (field: EventFormField) => string | null | undefined): EventFormValues {
  return Object.fromEntries(
    EVENT_FORM_FIELDS.map((field) => [field, (get(field) ?? '').trim()]),
  ) as EventFormValues
}

/** The form that corrects an event, filled in with what was reported; times are on the clocks of `zone`. */
export function toEventForm(event: ReadEvent, zone: string): EventFormValues {
  const { facts, service, waybill, product, lot, kind, source, id } = event
  const isDate = /^\d{4}-\d{2}-\d{2}$/.test(event.at)
  const { date, time } = splitDateAndTime(zone, event.earliestAt)
  const fact = (name: string) => {
    const value = facts?.[name]
    return typeof value === 'string' || typeof value === 'number' ? String(value) : ''
  }
  const [untilDate = '', untilTime = ''] = fact('until').split('T')
  const answers = Object.entries(toConditionAnswers(readCondition(facts)))
  const values: Partial<EventFormValues> = {
    kind,
    date: isDate ? event.at : date,
    time: isDate ? '' : time,
    service: service ?? '',
    waybill: waybill ?? '',
    product: product ?? '',
    lot: lot ?? '',
    ...Object.fromEntries(answers.map(([part, answer]) => [`condition.${part}`, answer])),
    on: [facts?.on]
      .flat()
      .filter((key) => typeof key === 'string')
      .join('\n'),
    untilDate,
    untilTime,
    corrects: `${source}/${id}`,
  }
  return readEventForm((field) => values[field] ?? fact(field))
}
