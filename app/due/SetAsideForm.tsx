import { useTranslate } from '#translate'
import { Field } from '@/app/ui/Field'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import { MAX_SET_ASIDE_DAYS } from '@/lib/judgement/setAside'
import { formatZone } from '@/lib/messages/zoneName'
import type { DueFilter, SetAsideInput } from './dueFilter'
import styles from './SetAsideForm.module.css'

/** Sets an overdue task aside for a reason and through a day, in the zone of whoever has to act. */
export function SetAsideForm({
  overdue: { subject, zone },
  summary,
  input,
  filter,
}: {
  overdue: Overdue
  summary: string
  input: SetAsideInput
  filter: DueFilter
}) {
  const t = useTranslate()
  const isTyped = input.subject === subject
  const faults = (isTyped ? input.faults : []).map((one) => ({ ...one, detail: t.message(one.detail) }))
  return (
    <details className={styles.leave} open={isTyped} id={isTyped ? 'leaving' : undefined}>
      <summary>{summary}</summary>
      <form method="post" action="/api/due/snooze" className={styles.form}>
        <input type="hidden" name="subject" value={subject} />
        <input type="hidden" name="plant" value={filter.plant ?? ''} />
        <input type="hidden" name="by" value={filter.by ?? ''} />
        <Field name="reason" label={t('due.setAside.reason')} faults={faults}>
          {(field) => (
            <input
              {...field}
              type="text"
              maxLength={500}
              autoComplete="off"
              defaultValue={isTyped ? input.reason : ''}
            />
          )}
        </Field>
        <Field name="until" label={t('due.setAside.until', { place: formatZone(zone) })} faults={faults}>
          {(field) => <input {...field} type="date" defaultValue={isTyped ? input.until : ''} />}
        </Field>
        <button type="submit">{t('due.setAside.submit')}</button>
        <p className={styles.hint}>{t('due.setAside.hint', { days: MAX_SET_ASIDE_DAYS })}</p>
      </form>
    </details>
  )
}
