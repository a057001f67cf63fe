import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { WEEKDAY_NAMES } from '@/lib/hold/holidayText'
import { WEEK } from '../pickupHours'
import { choicesOf, type FormState, SelectField, TextField } from './Field'
import styles from './Form.module.css'

/** When a service calls at a plant. The pair is what the entry is known by, so it is chosen once. */
export function PickupFields({
  form,
  register,
  isNew,
}: {
  form: FormState
  register: RegisterDocument
  isNew: boolean
}) {
  return (
    <>
      {isNew ? (
        <>
          <SelectField form={form} name="plant" label="Plant" options={choicesOf(register.plants)} />
          <SelectField form={form} name="service" label="Service" options={choicesOf(register.services)} />
        </>
      ) : (
        <>
          <TextField form={form} name="plant" label="Plant" isFixed />
          <TextField form={form} name="service" label="Service" isFixed />
        </>
      )}
      <fieldset className={styles.set}>
        <legend className={styles.legend}>
          When it calls, as 16:30, on the clock of the plant. A weekday without an hour has no pickup.
        </legend>
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
    </>
  )
}
