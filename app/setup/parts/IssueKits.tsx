import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { KitFields } from './EntryFields'
import { FormProblems, type FormState, TextField } from './Field'
import styles from './Form.module.css'

/** Issues many kits of one kind at once. */
export function IssueKits({ form, register }: { form: FormState; register: RegisterDocument }) {
  return (
    <form method="post" action="/api/setup/kits" className={styles.form}>
      <div className={styles.wide}>
        <FormProblems form={form} />
      </div>
      <KitFields form={form} register={register} />
      <TextField form={form} name="replaces" label="Replaces" hint="A kit code, for a re-collection." />
      <TextField
        form={{ ...form, values: { count: '1', ...form.values } }}
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
