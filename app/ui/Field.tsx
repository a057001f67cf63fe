import { type ReactNode, useId } from 'react'
import { useTranslate } from '#translate'
import type { Message } from '@/lib/messages/message'
import styles from './Field.module.css'

/** Props for the control of a field: its name, and the ids of its label and of its fault and hint. */
export interface ControlProps {
  name: string
  'aria-labelledby': string
  'aria-invalid': true | undefined
  'aria-describedby': string | undefined
}

/** A form field: its label above, its faults and its hint below. */
export function Field({
  name,
  label,
  faults,
  faultField = name,
  hint,
  children,
}: {
  name: string
  label: string
  faults: readonly { field: string; detail: string | Message }[]
  /** The field whose faults are shown here, if not `name`. */
  faultField?: string
  hint?: ReactNode
  children: (props: ControlProps) => ReactNode
}) {
  const t = useTranslate()
  const id = useId()
  const [labelId, descriptionId] = [`${id}label`, `${id}description`]
  const wrong = new Set(
    faults.flatMap(({ field, detail }) =>
      field === faultField ? [typeof detail === 'string' ? detail : t.message(detail)] : [],
    ),
  )
  const isWrong = wrong.size > 0
  const hasDescription = isWrong || hint !== undefined
  return (
    <div className={styles.field}>
      {/* biome-ignore lint/a11y/noLabelWithoutControl: `children` renders the control */}
      <label>
        <span id={labelId}>{label}</span>
        {children({
          name,
          // The label also holds the control: without this, its options or text would be read as part of the name.
          'aria-labelledby': labelId,
          'aria-invalid': isWrong ? true : undefined,
          'aria-describedby': hasDescription ? descriptionId : undefined,
        })}
      </label>
      {hasDescription && (
        <div id={descriptionId}>
          {isWrong && <p className={styles.fault}>{[...wrong].join(' ')}</p>}
          {hint !== undefined && <p className={styles.hint}>{hint}</p>}
        </div>
      )}
    </div>
  )
}
