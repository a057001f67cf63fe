import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import styles from './Form.module.css'
import { FieldError, type FormState, TextField } from './fields'
import { getTickedWorkdays, getWorkdayField, WEEK, WEEKDAY_LABELS } from './weekdays'

/** A checkbox for each weekday, Monday first. */
export function WorkdayFields({ form, legend }: { form: FormState; legend: string }) {
  const t = useTranslate()
  const ticked = getTickedWorkdays(form.values)
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>{legend}</legend>
      <input type="hidden" name="areWorkdaysTicked" value="yes" />
      <div className={`${styles.checks} ${styles.ticks}`}>
        {WEEK.map((day) => (
          <label key={day}>
            <input
              type="checkbox"
              name={getWorkdayField(day)}
              value="yes"
              defaultChecked={ticked.includes(day)}
              aria-describedby="workdays-said"
            />
            {t(WEEKDAY_LABELS[day])}
          </label>
        ))}
      </div>
      <div id="workdays-said">
        <FieldError form={form} name="workdays" />
      </div>
    </fieldset>
  )
}

/** A text field for each weekday, Monday first. */
export function WeekdayFields({ form, children }: { form: FormState; children: ReactNode }) {
  const t = useTranslate()
  return (
    <fieldset className={styles.set}>
      <legend className={styles.legend}>{children}</legend>
      <div className={styles.days}>
        {WEEK.map((day) => (
          <TextField key={day} form={form} name={day} label={t(WEEKDAY_LABELS[day])} />
        ))}
      </div>
    </fieldset>
  )
}
