import type { ReactNode } from 'react'
import { AreaField, FormProblems, type FormState } from './Field'
import styles from './Form.module.css'

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
      <div className={styles.field}>
        <label htmlFor="csvfile">or choose a file</label>
        <input id="csvfile" type="file" name="file" accept=".csv,text/csv" />
      </div>
      <div className={styles.acts}>
        <button type="submit">Show what would change</button>
      </div>
    </form>
  )
}
