import { type ReactNode, useId } from 'react'
import { useTranslate } from '#translate'
import type { Message } from '@/lib/messages/message'
import styles from './Field.module.css'

/** What the control of a field is given: a name, what names it to readers of screens, and what tells of its fault. */
export interface ControlProps {
  name: string
  'aria-labelledby': string
  'aria-invalid': true | undefined
  'aria-describedby': string | undefined
}

/** A field under its label, with what is wrong with it and what helps to fill it in below. */
export function Field({
  name,
  label,
  faults,
  faultOf = name,
  hint,
  children,
}: {
  name: string
  label: string
  faults: readonly { field: string; detail: string | Message }[]
  /** The field whose faults are told here, where it is another than `name`. */
  faultOf?: string
  hint?: ReactNode
  children: (props: ControlProps) => ReactNode
}) {
  const t = useTranslate()
  const id = useId()
  const [called, said] = [`${id}called`, `${id}said`]
  const wrong = new Set(
    faults.flatMap(({ field, detail }) =>
      field === faultOf ? [typeof detail === 'string' ? detail : t.message(detail)] : [],
    ),
  )
  const isWrong = wrong.size > 0
  const isSaid = isWrong || hint !== undefined
  return (
    <div className={styles.field}>
      {/* biome-ignore lint/a11y/noLabelWithoutControl: the control is what `children` makes */}
      <label>
        <span id={called}>{label}</span>
        {children({
          name,
          // Else what can be chosen, or stands in a text area, is taken as part of the name: the label holds it too.
          'aria-labelledby': called,
          'aria-invalid': isWrong ? true : undefined,
          'aria-describedby': isSaid ? said : undefined,
        })}
      </label>
      {isSaid && (
        <div id={said}>
          {isWrong && <p className={styles.fault}>{[...wrong].join(' ')}</p>}
          {hint !== undefined && <p className={styles.hint}>{hint}</p>}
        </div>
      )}
    </div>
  )
}
