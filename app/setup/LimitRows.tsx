import { MILESTONES } from '@/lib/hold/milestone'
import { CHOICES } from '@/lib/hold/units'
import { HAPPENED } from '@/lib/schedule/milestoneWords'
import { type FormState, SelectField, TextField } from './Field'
import styles from './Form.module.css'
import { LIMIT_ROWS } from './forms/protocolForm'

const MOMENTS = MILESTONES.map((one) => [one, HAPPENED[one]] as const)
const WAYS = [...CHOICES.keys()].map((choice) => [choice, choice] as const)

/** The hold limits of a protocol, a row each: those that there are, and two empty rows more. */
export function LimitRows({ form }: { form: FormState }) {
  const rows = Array.from({ length: LIMIT_ROWS }, (_, index) => index + 1)
  const filled = rows.filter((row) => form.values[`limit${row}`] || form.values[`amount${row}`])
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>
        Hold limits: the longest time allowed from one moment to another. A row without name and amount is
        left out.
      </legend>
      {rows.slice(0, Math.max(0, ...filled) + 2).map((row) => (
        <div key={row} className={styles.limit}>
          <TextField form={form} name={`limit${row}`} label={`Limit ${row}: name`} />
          <SelectField form={form} name={`from${row}`} label="From" options={MOMENTS.slice(0, -1)} />
          <SelectField form={form} name={`to${row}`} label="Until" options={MOMENTS.slice(1)} />
          <TextField form={form} name={`amount${row}`} label="At most" />
          <SelectField form={form} name={`counted${row}`} label="Counted in" options={WAYS} />
          <TextField form={form} name={`citation${row}`} label="Source of the limit" />
        </div>
      ))}
    </fieldset>
  )
}
