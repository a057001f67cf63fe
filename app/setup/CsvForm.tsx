import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { Field } from '@/app/ui/Field'
import styles from './Form.module.css'
import { AreaField, FormProblems, type FormState } from './fields'

/** Takes a list as CSV, pasted or as a file; the next page shows what it changes. */
export function CsvForm({
  action,
  form,
  children,
}: {
  action: string
  form: FormState
  /** Hidden fields sent with the list. */
  children?: ReactNode
}) {
  const t = useTranslate()
  return (
    <form method="post" action={action} encType="multipart/form-data" className={styles.form}>
      {children}
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <div className={styles.wide}>
        <AreaField form={form} name="text" label={t('setup.csv.paste')} rows={10} />
      </div>
      <Field name="file" label={t('setup.csv.file')} faults={[]}>
        {(control) => <input {...control} type="file" accept=".csv,text/csv" />}
      </Field>
      <div className={styles.acts}>
        <button type="submit">{t('setup.csv.review')}</button>
      </div>
    </form>
  )
}
