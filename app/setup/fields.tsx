import type { ReactNode } from 'react'
import { ZoneList } from '@/app/me/ZoneChoice'
import { Field } from '@/app/ui/Field'
import { parseIsoDate } from '@/lib/hold/zone'
import styles from './Form.module.css'
import type { FieldProblem, FormValues } from './forms/formValues'

/** A form as it is shown: what its fields hold, and what is wrong in which. */
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
  isFixed?: boolean
}

/** A line to write on. */
export function TextField({ form, name, label, hint, type, list, isRequired, isFixed }: InputProps) {
  const value = form.values[name] ?? ''
  // A field for dates shows nothing of what is none, and what was typed would be lost.
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
          readOnly={isFixed}
          autoComplete="off"
        />
      )}
    </Field>
  )
}

/** A field of several lines. */
export function AreaField({ form, name, label, hint, rows }: FieldProps & { rows?: number }) {
  return (
    <Field name={name} label={label} hint={hint} faults={form.problems}>
      {(control) => (
        <textarea {...control} rows={rows ?? 4} defaultValue={form.values[name]} spellCheck={false} />
      )}
    </Field>
  )
}

/** Entries as the choices of a field. */
export const toOptions = (entries: readonly { code: string; name: string }[]) =>
  entries.map(({ code, name }) => [code, `${name} (${code})`] as const)

/**
 * A choice of one. `none` names the choice of nothing, where that can be chosen. Where it `isRequired`, nothing is
 * chosen before someone has, unless there is only one.
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
  const chosen = form.values[name] ?? ''
  const isKnown = chosen === '' || options.some(([value]) => value === chosen)
  const nothing = isRequired && options.length !== 1 ? 'choose' : none
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
          {options.map(([value, words]) => (
            <option key={value} value={value}>
              {words}
            </option>
          ))}
        </select>
      )}
    </Field>
  )
}

/** What is wrong with a field; nothing where nothing is. */
export function FieldError({ form, name }: { form: FormState; name: string }) {
  const wrong = new Set(form.problems.flatMap(({ field, detail }) => (field === name ? [detail] : [])))
  return wrong.size > 0 && <span className={styles.wrong}>{[...wrong].join(' ')}</span>
}

/** Says above a form that it was not taken, and what is wrong with it as a whole. */
export function FormProblems({ form }: { form: FormState }) {
  if (form.problems.length === 0) return null
  return (
    <div className={styles.wrongs} role="alert">
      <p>Nothing was entered yet.</p>
      {form.problems
        .filter(({ field }) => field === '')
        .map(({ detail }) => (
          <p key={detail}>{detail}</p>
        ))}
    </div>
  )
}

/** The zone of a place or a person, offered with the time that it is there. `now` in ms UTC. */
export function ZoneField({ form, now, hint }: { form: FormState; now: number; hint: string }) {
  return (
    <>
      <TextField form={form} name="zone" label="Zone" list="zones" isRequired hint={hint} />
      <ZoneList now={now} />
    </>
  )
}
