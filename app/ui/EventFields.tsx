import { useTranslate } from '#translate'
import type { EventKind } from '@/lib/custody/event'
import { type EventField, KINDS } from '@/lib/custody/eventKinds'
import { RULING_LABELS, RULINGS } from '@/lib/custody/finding'
import { CONDITION_FIELDS, getConditionField, readConditionAnswers } from '@/lib/intake/hand/conditionForm'
import type { EventFormValues, SingleField } from '@/lib/intake/hand/eventForm'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import type { Message, MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { ConditionFields } from './ConditionFields'
import styles from './EventForm.module.css'
import { Field } from './Field'
import { Instant } from './Instant'

/** The values that a field offers. */
export interface FieldChoices {
  services: readonly { code: string; name: string }[]
  products: readonly { code: string; name: string }[]
  limits: readonly string[]
  /** What a ruling can be on. */
  findings: readonly { key: string; what: Message; at: number; zone: string; now: number }[]
  /** The place on whose clocks an end is entered. */
  untilPlace: string
}

export const FIELD_LABELS = {
  product: 'record.field.product',
  lot: 'record.field.lot',
  service: 'record.field.service',
  waybill: 'record.field.waybill',
  what: 'record.field.what',
  sealNumber: 'record.field.sealNumber',
  openFor: 'record.field.openFor',
  on: 'record.field.on',
  ruling: 'record.field.ruling',
  limit: 'record.field.limit',
  by: 'record.field.by',
  kit: 'record.field.kit',
  reason: 'record.field.reason',
  note: 'record.field.note',
} as const satisfies Record<Exclude<SingleField, 'untilDate' | 'untilTime'>, MessageKey>

export const isLabelled = (name: string): name is keyof typeof FIELD_LABELS =>
  Object.hasOwn(FIELD_LABELS, name)

const MAX_LENGTHS: Partial<Record<SingleField, number>> = {
  waybill: 100,
  lot: 200,
  kit: 40,
  by: 100,
  sealNumber: 100,
  openFor: 100,
}

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
  const t = useTranslate()
  const selects = buildSelectFields(t, choices)
  return KINDS[kind].fields
    .filter((name) => names.includes(name))
    .map((name) => {
      if (name === 'untilTime') return null
      if (name === 'on')
        return <FindingTicks key={name} findings={choices.findings} ticked={form.on} faults={faults} />
      if (name === 'condition') return <FoldedCondition key={name} form={form} faults={faults} />
      if (name === 'untilDate')
        return (
          <div key={name} className={styles.pair}>
            <Field
              name="untilDate"
              label={t('record.field.untilDate', { place: choices.untilPlace })}
              faults={faults}
            >
              {(field) => <input {...field} type="date" defaultValue={form.untilDate} />}
            </Field>
            <Field name="untilTime" label={t('record.field.untilTime')} faults={faults}>
              {(field) => <input {...field} type="time" defaultValue={form.untilTime} />}
            </Field>
          </div>
        )
      const select = selects[name]
      return (
        <Field key={name} name={name} label={t(FIELD_LABELS[name])} faults={faults}>
          {(field) =>
            select ? (
              <select {...field} defaultValue={form[name]}>
                <option value="">{select.none}</option>
                {select.options.map(({ value, label }) => (
                  <option key={value} value={value}>
                    {label}
                  </option>
                ))}
              </select>
            ) : (
              <input
                {...field}
                type="text"
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

/** The condition of what is received, folded until something is answered: a sound sample needs no answer. */
function FoldedCondition({ form, faults }: { form: EventFormValues; faults: readonly FormFault[] }) {
  const t = useTranslate()
  const answers = readConditionAnswers((part) => form[getConditionField(part)])
  return (
    <details className={styles.more} open={CONDITION_FIELDS.some((field) => form[field] !== '')}>
      <summary>{t('record.condition.summary')}</summary>
      <ConditionFields prefix="condition" answers={answers} faults={faults} />
    </details>
  )
}

/** What a ruling is on: one finding or several. */
function FindingTicks({
  findings,
  ticked,
  faults,
}: {
  findings: FieldChoices['findings']
  /** Keys, one a line. */
  ticked: string
  faults: readonly FormFault[]
}) {
  const t = useTranslate()
  const keys = ticked.split('\n')
  const fault = faults.find(({ field }) => field === 'on')
  return (
    <fieldset className={styles.choices}>
      <legend>{t(FIELD_LABELS.on)}</legend>
      <ul className={styles.ticks}>
        {findings.map(({ key, what, ...when }) => (
          <li key={key}>
            <label>
              <input type="checkbox" name="on" value={key} defaultChecked={keys.includes(key)} />
              <span>
                {t.message(what)}
                <small>
                  <Instant {...when} />
                </small>
              </span>
            </label>
          </li>
        ))}
      </ul>
      {fault && <p className={styles.fault}>{t.message(fault.detail)}</p>}
    </fieldset>
  )
}

interface SelectField {
  /** The option that chooses nothing. */
  none: string
  options: { value: string; label: string }[]
}

function buildSelectFields(
  t: Translate,
  { services, products, limits }: FieldChoices,
): Partial<Record<SingleField, SelectField>> {
  const toOption = ({ code, name }: { code: string; name: string }) => ({ value: code, label: name })
  const none = t('record.choice.none')
  return {
    service: { none, options: services.map(toOption) },
    product: { none: t('record.choice.kitProduct'), options: products.map(toOption) },
    limit: { none, options: limits.map((name) => ({ value: name, label: name })) },
    ruling: { none, options: RULINGS.map((ruling) => ({ value: ruling, label: t(RULING_LABELS[ruling]) })) },
  }
}

/** When an event happened, on the clocks of a place. Both fields empty mean now. */
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
  const t = useTranslate()
  return (
    <div className={styles.pair}>
      <Field name="date" label={t('record.field.date', { place })} faults={faults}>
        {(field) => <input {...field} type="date" defaultValue={date} />}
      </Field>
      <Field name="time" label={t('record.field.time', { place })} faults={faults}>
        {(field) => <input {...field} type="time" defaultValue={time} />}
      </Field>
    </div>
  )
}

/** The name of a kind of event on the button that records it. */
export function getRecordLabel(t: Translate, kind: EventKind): string {
  const { label, actionLabel } = KINDS[kind]
  return t(actionLabel ?? label)
}
