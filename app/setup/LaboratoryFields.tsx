import type { ReactNode } from 'react'
import { HOLIDAY_EXAMPLE } from '@/lib/hold/holidayText'
import { AreaField, type FormState, TextField } from './Field'
import styles from './Form.module.css'
import { CLOSURE_HINT } from './forms/closures'
import { WeekdayFields } from './WeekdayFields'
import { ZoneField } from './ZoneField'

/** What a laboratory says of itself: its hours by weekday, its closures, its holidays by rule. */
export function LaboratoryFields({ form, code, now }: { form: FormState; code: ReactNode; now: number }) {
  return (
    <>
      {code}
      <TextField form={form} name="name" label="Name" isRequired />
      <ZoneField form={form} now={now} hint="Type the city; its days are counted in it." />
      <WeekdayFields form={form}>
        Receiving hours, as 08:00-16:30, or 08:00-12:00, 13:00-16:30. A weekday without any is closed.
      </WeekdayFields>
      <div className={styles.wide}>
        <AreaField
          form={form}
          name="holidays"
          label="Holidays by rule, one a line"
          rows={6}
          hint={HOLIDAY_EXAMPLE}
        />
      </div>
      <div className={styles.wide}>
        <AreaField form={form} name="closed" label="Other closed days, one a line" hint={CLOSURE_HINT} />
      </div>
    </>
  )
}
