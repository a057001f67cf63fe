import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { EntryFields } from './EntryFields'
import styles from './Form.module.css'
import { FormProblems, type FormState, TextField } from './fields'
import { EFFECTIVE_DATED_LISTS } from './forms/formValues'

/** `now` in ms UTC. */
export function EntryForm({
  list,
  form,
  register,
  isNew,
  now,
  children,
}: {
  list: RegisterList
  form: FormState
  register: RegisterDocument
  isNew: boolean
  now: number
  children?: ReactNode
}) {
  const t = useTranslate()
  return (
    <form method="post" action="/api/setup/entries" className={styles.form}>
      <input type="hidden" name="list" value={list} />
      {isNew && <input type="hidden" name="isNew" value="yes" />}
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <EntryFields list={list} form={form} register={register} isNew={isNew} now={now} />
      {!isNew && EFFECTIVE_DATED_LISTS.includes(list) && (
        <TextField
          form={form}
          name="holdsFrom"
          label={t('setup.field.holdsFrom')}
          type="date"
          hint={t('setup.field.holdsFromHint')}
        />
      )}
      <div className={styles.acts}>
        <button type="submit" name="act" value="enter">
          {t('setup.form.save')}
        </button>
        {!isNew && (
          <button type="submit" name="act" value="remove" formNoValidate>
            {t('setup.form.delete')}
          </button>
        )}
      </div>
      {children}
    </form>
  )
}
