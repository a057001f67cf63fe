import { type ReactNode, useId } from 'react'
import styles from './Record.module.css'

/** What every field of a form is given: a name, an id that its fault is tied to, and whether it has one. */
export interface FieldProps {
  name: string
  'aria-invalid': boolean | undefined
  'aria-describedby': string | undefined
}

/** A field under its label, and beside it what is wrong with it. */
export function Field({
  name,
  label,
  faults,
  faultOf = name,
  children,
}: {
  name: string
  label: string
  faults: readonly { field: string; detail: string }[]
  /** The field whose faults are told here, where it is another than `name`. */
  faultOf?: string
  children: (props: FieldProps) => ReactNode
}) {
  const id = useId()
  const fault = faults.find(({ field }) => field === faultOf)
  return (
    <div>
      {/* biome-ignore lint/a11y/noLabelWithoutControl: the control is what `children` makes */}
      <label className={styles.field}>
        <span>{label}</span>
        {children({
          name,
          'aria-invalid': fault ? true : undefined,
          'aria-describedby': fault ? id : undefined,
        })}
      </label>
      {fault && (
        <p id={id} className={styles.fault}>
          {fault.detail}
        </p>
      )}
    </div>
  )
}
