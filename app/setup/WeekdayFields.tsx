import type { ReactNode } from 'react'
import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { WEEKDAY_NAMES } from '@/lib/hold/holidayText'
import { type FormState, TextField } from './Field'
import styles from './Form.module.css'
import { WEEK } from './weekHours'

/** A field for each weekday, Monday first. */
export function WeekdayFields({ form, children }: { form: FormState; children: ReactNode }) {
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>{children}</legend>
      <div className={styles.days}>
        {WEEK.map((day) => (
          <TextField
            key={day}
            form={form}
            name={day}
            label={WEEKDAY_NAMES[WEEKDAYS.indexOf(day)] as string}
          />
        ))}
      </div>
    </fieldset>
  )
}
