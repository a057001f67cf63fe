import type { ReactNode } from 'react'
import { Field } from '@/app/ui/Field'
import styles from './Form.module.css'
import { AreaField, FormProblems, type FormState } from './fields'

/** A list as CSV, pasted or as a file, on its way to what it would change. */
export function CsvForm({
  action,
  form,
  children,
}: {
  action: string
  form: FormState
  /** What is sent beside the list. */
  children?: ReactNode
}) {
  return (
    <form method="post" action={action} encType="multipart/form-data" className={styles.form}>
      {children}
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <div className={styles.wide}>
        <AreaField form={form} name="text" label="Paste it here" rows={10} />
      </div>
      <Field name="file" label="or choose a file" faults={[]}>
        {(control) => <input {...control} type="file" accept=".csv,text/csv" />}
      </Field>
      <div className={styles.acts}>
        <button type="submit">Show what would change</button>
      </div>
    </form>
  )
}
