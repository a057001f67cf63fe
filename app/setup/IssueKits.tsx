import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { KitFields } from './EntryFields'
import { FormProblems, type FormState, TextField } from './Field'
import styles from './Form.module.css'

/** What holds of kits before anyone has said so: nobody has posted one that is not issued yet. */
const AT_FIRST = { count: '1', posted: 'not yet' }

/** Issues many kits of one kind at once. */
export function IssueKits({ form: sent, register }: { form: FormState; register: RegisterDocument }) {
  const form = { ...sent, values: { ...AT_FIRST, ...sent.values } }
  return (
    <form method="post" action="/api/setup/kits" className={styles.form}>
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <KitFields form={form} register={register} />
      <TextField form={form} name="replaces" label="Replaces" hint="A kit code, for a re-collection." />
      <TextField
        form={form}
        name="count"
        label="How many"
        isRequired
        hint="Each gets a code of its own that nobody can guess."
      />
      <div className={styles.acts}>
        <button type="submit">Issue</button>
      </div>
    </form>
  )
}
