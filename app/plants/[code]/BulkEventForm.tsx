import { useTranslate } from '#translate'
import { TickItem } from '@/app/receiving/TickItem'
import { ConfirmAnyway } from '@/app/ui/ConfirmAnyway'
import { createFormToken } from '@/app/ui/createFormToken'
import { EventFields, getRecordLabel, TimeFields } from '@/app/ui/EventFields'
import styles from '@/app/ui/EventForm.module.css'
import { FormToken } from '@/app/ui/FormToken'
import { KINDS } from '@/lib/custody/eventKinds'
import { formatZone } from '@/lib/messages/zoneName'
import type { BulkFormState } from './bulkFormState'

/** Records one kind of event for several kits at once: tick them, fill in what they share, press once. */
export function BulkEventForm({ state, plant }: { state: BulkFormState; plant: string }) {
  const t = useTranslate()
  const { kind, rows, form, faults, choices, zone } = state
  const fault = faults.find(({ field }) => field === 'kind')
  const isOpen = form.date !== '' || form.time !== '' || form.note !== ''
  return (
    <form method="post" action="/api/record" className={styles.form}>
      <FormToken value={createFormToken()} />
      <input type="hidden" name="kind" value={kind} />
      <input type="hidden" name="from" value="plant" />
      <input type="hidden" name="plant" value={plant} />
      <ul className={styles.ticks}>
        {rows.map((row) => (
          <li key={row.code}>
            <TickItem row={row} />
          </li>
        ))}
      </ul>
      {fault && <p className={styles.fault}>{t.message(fault.detail)}</p>}
      <EventFields
        kind={kind}
        names={KINDS[kind].fields.filter((name) => name !== 'note')}
        form={form}
        faults={faults}
        choices={choices}
      />
      <ConfirmAnyway form={form} faults={faults} />
      <button type="submit" className={styles.press}>
        {t('record.submitTicked', { kind: getRecordLabel(t, kind) })}
      </button>
      <p className={styles.hint}>{t('record.nowEach')}</p>
      <details className={styles.more} open={isOpen}>
        <summary>{t('record.more.time')}</summary>
        <div className={styles.form}>
          <TimeFields {...form} place={formatZone(zone)} faults={faults} />
          <EventFields kind={kind} names={['note']} form={form} faults={faults} choices={choices} />
        </div>
      </details>
    </form>
  )
}
