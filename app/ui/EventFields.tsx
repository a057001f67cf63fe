import { RULINGS } from '@/lib/custody/deviation'
import type { EventKind } from '@/lib/custody/event'
import { type EventField, KINDS } from '@/lib/custody/eventKinds'
import type { EventFormValues } from '@/lib/intake/hand/eventForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import type { Translate } from '@/lib/messages/translate'
import styles from './EventForm.module.css'
import { Field } from './Field'

/** What a field's value can be chosen from. */
export interface FieldChoices {
  services: readonly { code: string; name: string }[]
  products: readonly { code: string; name: string }[]
  limits: readonly string[]
  deviations: readonly { key: string; words: string }[]
  /** Where an extension's day and time are read. */
  laboratoryPlace: string
}

const LABELS: Record<Exclude<EventField, 'untilDate' | 'untilTime'>, string> = {
  product: 'Product',
  lot: 'Lot',
  service: 'Carrier’s service',
  waybill: 'Number of the waybill, if it has one',
  seal: 'Seal intact',
  temperature: 'Temperature on receipt, °C',
  what: 'What was found',
  on: 'Deviation',
  ruling: 'Ruling',
  limit: 'Limit',
  by: 'Held by whom',
  kit: 'Code of the kit that replaces it',
  reason: 'Why',
  note: 'Note',
}

const MAX_LENGTHS: Partial<Record<EventField, number>> = { waybill: 100, lot: 200, kit: 40, by: 100 }

/** The fields of `names` that a kind asks for. */
export function EventFields({
  kind,
  names,
  form,
  faults,
  choices,
}: {
  kind: EventKind
  names: readonly EventField[]
  form: EventFormValues
  faults: readonly FormFault[]
  choices: FieldChoices
}) {
  const lists = buildSelectFields(choices)
  return KINDS[kind].fields
    .filter((name) => names.includes(name))
    .map((name) => {
      if (name === 'untilTime') return null
      if (name === 'untilDate')
        return (
          <div key={name} className={styles.pair}>
            <Field name="untilDate" label={`Until, in ${choices.laboratoryPlace}`} faults={faults}>
              {(field) => <input {...field} type="date" defaultValue={form.untilDate} />}
            </Field>
            <Field name="untilTime" label="Time; without, all day" faults={faults}>
              {(field) => <input {...field} type="time" defaultValue={form.untilTime} />}
            </Field>
          </div>
        )
      const list = lists[name]
      return (
        <Field key={name} name={name} label={LABELS[name]} faults={faults}>
          {(field) =>
            list ? (
              <select {...field} defaultValue={form[name]}>
                <option value="">{list.none}</option>
                {list.options.map(({ value, words }) => (
                  <option key={value} value={value}>
                    {words}
                  </option>
                ))}
              </select>
            ) : (
              <input
                {...field}
                type="text"
                inputMode={name === 'temperature' ? 'decimal' : undefined}
                maxLength={MAX_LENGTHS[name] ?? 500}
                autoComplete="off"
                autoCapitalize={
                  name === 'waybill' || name === 'kit' || name === 'lot' ? 'characters' : undefined
                }
                spellCheck={name === 'note' || name === 'reason' || name === 'what'}
                defaultValue={form[name]}
              />
            )
          }
        </Field>
      )
    })
}

interface SelectField {
  none: string
  options: { value: string; words: string }[]
}

function buildSelectFields({
  services,
  products,
  limits,
  deviations,
}: FieldChoices): Partial<Record<EventField, SelectField>> {
  const named = ({ code, name }: { code: string; name: string }) => ({ value: code, words: name })
  return {
    service: { none: 'choose', options: services.map(named) },
    product: { none: 'as its kit says', options: products.map(named) },
    limit: { none: 'choose', options: limits.map((name) => ({ value: name, words: name })) },
    on: {
      none: 'choose',
      options: deviations.map(({ key, words }) => ({ value: key, words })),
    },
    ruling: {
      none: 'choose',
      options: RULINGS.map((ruling) => ({ value: ruling, words: ruling })),
    },
    seal: {
      none: 'not looked at',
      options: [
        { value: 'yes', words: 'yes' },
        { value: 'no', words: 'no' },
      ],
    },
  }
}

/** When it happened, on the clocks of a place. Left empty it is now. */
export function TimeFields({
  date,
  time,
  place,
  faults,
}: {
  date: string
  time: string
  place: string
  faults: readonly FormFault[]
}) {
  return (
    <div className={styles.pair}>
      <Field name="date" label={`Day in ${place}`} faults={faults}>
        {(field) => <input {...field} type="date" defaultValue={date} />}
      </Field>
      <Field name="time" label={`Time in ${place}`} faults={faults}>
        {(field) => <input {...field} type="time" defaultValue={time} />}
      </Field>
    </div>
  )
}

/** A kind of event as what a person is about to record. */
export function getRecordLabel(t: Translate, kind: EventKind): string {
  return t(KINDS[kind].actionLabel ?? KINDS[kind].label)
}
