import { Field } from '@/app/ui/Field'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { MAX_SET_ASIDE_DAYS } from '@/lib/schedule/setAside'
import { formatZone } from '@/lib/schedule/zoneName'
import type { DueFilter, SetAsideInput } from './dueFilter'
import styles from './SetAsideForm.module.css'

/** Leaves one overdue thing aside for a while: a reason, and the last day of it in the zone where it is to be done. */
export function SetAsideForm({
  overdue: { subject, zone },
  summary,
  leaving,
  filter,
}: {
  overdue: Overdue
  summary: string
  leaving: SetAsideInput
  filter: DueFilter
}) {
  const isTyped = leaving.subject === subject
  const faults = isTyped ? leaving.faults : []
  return (
    <details className={styles.leave} open={isTyped} id={isTyped ? 'leaving' : undefined}>
      <summary>{summary}</summary>
      <form method="post" action="/api/due/snooze" className={styles.form}>
        <input type="hidden" name="subject" value={subject} />
        <input type="hidden" name="plant" value={filter.plant ?? ''} />
        <input type="hidden" name="by" value={filter.by ?? ''} />
        <Field name="reason" label="Why it can wait" faults={faults}>
          {(field) => (
            <input
              {...field}
              type="text"
              maxLength={500}
              autoComplete="off"
              defaultValue={isTyped ? leaving.reason : ''}
            />
          )}
        </Field>
        <Field name="until" label={`Last day, in ${formatZone(zone)}`} faults={faults}>
          {(field) => <input {...field} type="date" defaultValue={isTyped ? leaving.until : ''} />}
        </Field>
        <button type="submit">Leave it aside</button>
        <p className={styles.hint}>
          It is not asked for until then, {MAX_SET_ASIDE_DAYS} days at most. The reason is kept on record.
        </p>
      </form>
    </details>
  )
}
