import { type ReactNode, useId } from 'react'
import type { FieldProblem, FormValues } from '../forms/formValues'
import styles from './Form.module.css'

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
  const said = useId()
  return (
    <Labelled form={form} name={name} label={label} hint={hint} said={said}>
      <input
        id={`${said}in`}
        name={name}
        type={type ?? 'text'}
        defaultValue={form.values[name]}
        list={list}
        required={isRequired}
        readOnly={isFixed}
        autoComplete="off"
        aria-invalid={isWrong(form, name) || undefined}
        aria-describedby={said}
      />
    </Labelled>
  )
}

/** A field of several lines. */
export function AreaField({ form, name, label, hint, rows }: FieldProps & { rows?: number }) {
  const said = useId()
  return (
    <Labelled form={form} name={name} label={label} hint={hint} said={said}>
      <textarea
        id={`${said}in`}
        name={name}
        rows={rows ?? 4}
        defaultValue={form.values[name]}
        spellCheck={false}
        aria-invalid={isWrong(form, name) || undefined}
        aria-describedby={said}
      />
    </Labelled>
  )
}

/** Entries as the choices of a field. */
export const choicesOf = (entries: readonly { code: string; name: string }[]) =>
  entries.map(({ code, name }) => [code, `${name} (${code})`] as const)

/** A choice of one. `none` names the choice of nothing, where that can be chosen. */
export function SelectField({
  form,
  name,
  label,
  hint,
  options,
  none,
}: FieldProps & { options: readonly (readonly [string, string])[]; none?: string }) {
  const said = useId()
  const chosen = form.values[name] ?? ''
  const isKnown = chosen === '' || options.some(([value]) => value === chosen)
  return (
    <Labelled form={form} name={name} label={label} hint={hint} said={said}>
      <select
        id={`${said}in`}
        name={name}
        defaultValue={chosen === '' && none === undefined ? undefined : chosen}
        aria-invalid={isWrong(form, name) || undefined}
        aria-describedby={said}
      >
        {none !== undefined && <option value="">{none}</option>}
        {!isKnown && <option value={chosen}>{chosen}</option>}
        {options.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </Labelled>
  )
}

function isWrong({ problems }: FormState, name: string): boolean {
  return problems.some(({ field }) => field === name)
}

function Labelled({
  form,
  name,
  label,
  hint,
  said,
  children,
}: FieldProps & { said: string; children: ReactNode }) {
  const wrong = form.problems.filter(({ field }) => field === name)
  return (
    <div className={styles.field}>
      <label htmlFor={`${said}in`}>{label}</label>
      {children}
      <span id={said} className={wrong.length > 0 ? styles.wrong : styles.hint}>
        {wrong.length > 0 ? wrong.map(({ detail }) => detail).join(' ') : hint}
      </span>
    </div>
  )
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
