import type { ReactNode } from 'react'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { EntryFields } from './EntryFields'
import styles from './Form.module.css'
import { FormProblems, type FormState, TextField } from './fields'
import { EFFECTIVE_DATED_LISTS } from './forms/formValues'

/** A form for one entry, new or there already. `now` in ms UTC. */
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
          label="Holds from"
          type="date"
          hint="Empty: from now. What is past keeps what held then. A name holds at once; a zone does too, so change it with no day here."
        />
      )}
      <div className={styles.acts}>
        <button type="submit" name="act" value="enter">
          {isNew ? 'Enter' : 'Change'}
        </button>
        {!isNew && (
          <button type="submit" name="act" value="remove" formNoValidate>
            Take out
          </button>
        )}
      </div>
      {children}
    </form>
  )
}
