import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { ZoneList } from '@/app/me/ZoneChoice'
import { Field } from '@/app/ui/Field'
import { parseIsoDate } from '@/lib/hold/zone'
import styles from './Form.module.css'
import type { FieldProblem, FormValues } from './forms/formValues'

/** The values of a form's fields, and what is wrong with them. */
export interface FormState {
  values: FormValues
  problems: readonly FieldProblem[]
}

interface FieldProps {
  form: FormState
  name: string
  label: string
  hint?: ReactNode
}

type InputProps = FieldProps & {
  type?: string
  list?: string
  isRequired?: boolean
  isReadOnly?: boolean
}

export function TextField({ form, name, label, hint, type, list, isRequired, isReadOnly }: InputProps) {
  const value = form.values[name] ?? ''
  // A date field would show nothing for text that is not a date, and what was typed would be lost.
  const isNoDate = type === 'date' && value !== '' && parseIsoDate(value) === undefined
  return (
    <Field name={name} label={label} hint={hint} faults={form.problems}>
      {(control) => (
        <input
          {...control}
          type={isNoDate ? 'text' : (type ?? 'text')}
          defaultValue={value}
          list={list}
          required={isRequired}
          readOnly={isReadOnly}
          autoComplete="off"
        />
      )}
    </Field>
  )
}

export function AreaField({ form, name, label, hint, rows }: FieldProps & { rows?: number }) {
  return (
    <Field name={name} label={label} hint={hint} faults={form.problems}>
      {(control) => (
        <textarea {...control} rows={rows ?? 4} defaultValue={form.values[name]} spellCheck={false} />
      )}
    </Field>
  )
}

export const toOptions = (entries: readonly { code: string; name: string }[]) =>
  entries.map(({ code, name }) => [code, `${name} (${code})`] as const)

/**
 * `none` is the label of the empty choice, if there is one. A required field starts empty, so that nothing is chosen by
 * accident, unless it has only one option.
 */
export function SelectField({
  form,
  name,
  label,
  hint,
  options,
  none,
  isRequired,
}: FieldProps & { options: readonly (readonly [string, string])[]; none?: string; isRequired?: boolean }) {
  const t = useTranslate()
  const chosen = form.values[name] ?? ''
  const isKnown = chosen === '' || options.some(([value]) => value === chosen)
  const nothing = isRequired && options.length !== 1 ? t('setup.form.choose') : none
  return (
    <Field name={name} label={label} hint={hint} faults={form.problems}>
      {(control) => (
        <select
          {...control}
          defaultValue={chosen === '' && nothing === undefined ? undefined : chosen}
          required={isRequired}
        >
          {nothing !== undefined && <option value="">{nothing}</option>}
          {!isKnown && <option value={chosen}>{chosen}</option>}
          {options.map(([value, text]) => (
            <option key={value} value={value}>
              {text}
            </option>
          ))}
        </select>
      )}
    </Field>
  )
}

export function FieldError({ form, name }: { form: FormState; name: string }) {
  const t = useTranslate()
  const wrong = new Set(
    form.problems.flatMap(({ field, detail }) => (field === name ? [t.message(detail)] : [])),
  )
  return wrong.size > 0 && <span className={styles.wrong}>{[...wrong].join(' ')}</span>
}

/** Above a form: that it was refused, and what is wrong with it as a whole. */
export function FormProblems({ form }: { form: FormState }) {
  const t = useTranslate()
  if (form.problems.length === 0) return null
  return (
    <div className={styles.wrongs} role="alert">
      <p>{t('setup.form.notSaved')}</p>
      {form.problems
        .filter(({ field }) => field === '')
        .map(({ detail }) => t.message(detail))
        .map((text) => (
          <p key={text}>{text}</p>
        ))}
    </div>
  )
}

/** `now` in ms UTC: each zone is offered with its time. */
export function ZoneField({ form, now, hint }: { form: FormState; now: number; hint: string }) {
  const t = useTranslate()
  return (
    <>
      <TextField form={form} name="zone" label={t('setup.field.zone')} list="zones" isRequired hint={hint} />
      <ZoneList now={now} />
    </>
  )
}
