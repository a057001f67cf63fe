import type { HandFault } from '@/lib/intake/hand/handEvent'
import { Field } from './Field'
import styles from './Record.module.css'

/** When it happened, on the clocks of a place. Left empty it is now. */
export function TimeFields({
  date,
  time,
  place,
  faults,
}: {
  date: string
  time: string
  place: string
  faults: readonly HandFault[]
}) {
  return (
    <div className={styles.pair}>
      <Field name="date" label={`Day in ${place}`} faults={faults}>
        {(field) => <input {...field} type="date" defaultValue={date} />}
      </Field>
      <Field name="time" label={`Time in ${place}`} faults={faults}>
        {(field) => <input {...field} type="time" defaultValue={time} />}
      </Field>
    </div>
  )
}
