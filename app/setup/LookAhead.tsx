import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'
import { DutyDates } from './DutyDates'
import { type FormState, TextField } from './Field'
import styles from './Form.module.css'
import { TryLimits } from './TryLimits'

/** Within a form: what the entry would mean, before it is entered. `path` is the form's own page; `now` in ms UTC. */
export function LookAhead({
  list,
  form,
  register,
  path,
  now,
}: {
  list: RegisterList
  form: FormState
  register: RegisterDocument
  path: string
  now: number
}) {
  if (list === 'protocols') return <TryLimits form={form} register={register} path={path} now={now} />
  if (list === 'duties') return <DutyDates values={form.values} register={register} path={path} now={now} />
  if (list !== 'laboratories') return null
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>Look at a year of it; nothing is entered by it</legend>
      <div className={styles.days}>
        <TextField
          form={{ ...form, values: { year: String(new Date(now).getUTCFullYear()), ...form.values } }}
          name="year"
          label="Year"
        />
        <div>
          <button type="submit" name="look" value="yes" formMethod="get" formAction={path} formNoValidate>
            Show the year
          </button>
        </div>
      </div>
    </fieldset>
  )
}

/** The year that a form asks for, or the present one. `now` in ms UTC. */
export function yearAsked(values: FormState['values'], now: number): number {
  return /^\d{4}$/.test(values.year ?? '') ? Number(values.year) : new Date(now).getUTCFullYear()
}
