import { useTranslate } from '#translate'
import { CONDITION, CONDITION_PARTS, type ConditionPart } from '@/lib/custody/condition'
import type { ConditionAnswers } from '@/lib/intake/hand/conditionForm'
import type { Message } from '@/lib/messages/message'
import styles from './ConditionFields.module.css'
import { Field } from './Field'

/** Parts that are typed. A temperature has room for a code that a scanner types behind it, so that the code is not cut off. */
const MAX_LENGTHS: Partial<Record<ConditionPart, number>> = { sealNumber: 100, temperature: 40 }

/**
 * Asks in which condition a sample arrived. What is chosen has a button each and no list: a scanner types into a list that has the
 * focus, and would choose from it. `prefix`: what the names of the fields begin with.
 */
export function ConditionFields({
  prefix,
  answers,
  faults,
}: {
  prefix: string
  /** Absent: nothing is answered yet. */
  answers?: ConditionAnswers | undefined
  faults: readonly { field: string; detail: Message }[]
}) {
  return (
    <div className={styles.parts}>
      {CONDITION_PARTS.map((part) => (
        <PartField
          key={part}
          part={part}
          name={`${prefix}.${part}`}
          answer={answers?.[part] ?? ''}
          faults={faults}
        />
      ))}
    </div>
  )
}

function PartField({
  part,
  name,
  answer,
  faults,
}: {
  part: ConditionPart
  name: string
  answer: string
  faults: readonly { field: string; detail: Message }[]
}) {
  const t = useTranslate()
  const { label, options } = CONDITION[part]
  if (options === null)
    return (
      <Field name={name} label={t(label)} faults={faults}>
        {(control) => (
          <input
            {...control}
            type="text"
            inputMode={part === 'temperature' ? 'decimal' : undefined}
            maxLength={MAX_LENGTHS[part]}
            autoComplete="off"
            spellCheck={false}
            defaultValue={answer}
          />
        )}
      </Field>
    )
  const known = options.map(({ value, label: text }) => ({ value: String(value), text: t(text) }))
  const choices = [{ value: '', text: t('record.choice.notChecked') }, ...known]
  const fault = faults.find(({ field }) => field === name)
  return (
    <fieldset className={styles.part}>
      <legend>{t(label)}</legend>
      {choices.map(({ value, text }) => (
        <label key={value}>
          <input type="radio" name={name} value={value} defaultChecked={value === answer} />
          <span>{text}</span>
        </label>
      ))}
      {fault && <p className={styles.fault}>{t.message(fault.detail)}</p>}
    </fieldset>
  )
}
