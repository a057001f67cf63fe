import { useTranslate } from '#translate'
import { createFormToken } from '@/app/ui/createFormToken'
import { EventFields, getRecordLabel, TimeFields } from '@/app/ui/EventFields'
import styles from '@/app/ui/EventForm.module.css'
import { FormToken } from '@/app/ui/FormToken'
import { Link } from '@/app/ui/Link'
import { KINDS } from '@/lib/custody/eventKinds'
import { formatKitCode } from '@/lib/custody/kitCode'
import { formatZone } from '@/lib/schedule/zoneName'
import type { BulkFormState } from './bulkFormState'

/** Records one kind of event of several kits at once: tick them, say what they have in common, one press. */
export function BulkEventForm({
  many,
  from,
  plant = '',
}: {
  many: BulkFormState
  from: 'plant' | 'receiving'
  plant?: string
}) {
  const t = useTranslate()
  const { kind, rows, form, faults, choices, zone } = many
  const fault = faults.find(({ field }) => field === 'kind')
  const isOpen = form.date !== '' || form.time !== '' || form.note !== ''
  return (
    <form method="post" action="/api/record" className={styles.form}>
      <FormToken value={createFormToken()} />
      <input type="hidden" name="kind" value={kind} />
      <input type="hidden" name="from" value={from} />
      <input type="hidden" name="plant" value={plant} />
      <ul className={styles.ticks}>
        {rows.map(({ code, what, stage, lead, isPressing, isTicked }) => (
          <li key={code}>
            <label>
              <input type="checkbox" name="sample" value={code} defaultChecked={isTicked} />
              <span>
                <code>{formatKitCode(code)}</code> <span data-pressing={isPressing}>{lead}</span>
                <small>{what}</small>
                <small>{stage}</small>
              </span>
            </label>
            <Link href={`/samples/${code}`}>
              its page<span className="unseen">, {formatKitCode(code)}</span>
            </Link>
          </li>
        ))}
      </ul>
      {fault && <p className={styles.fault}>{fault.detail}</p>}
      <EventFields
        kind={kind}
        names={KINDS[kind].fields.filter((name) => name !== 'note')}
        form={form}
        faults={faults}
        choices={choices}
      />
      <button type="submit" className={styles.press}>
        Record the ticked: {getRecordLabel(t, kind)}
      </button>
      <p className={styles.hint}>
        It is recorded as of now, unless you say when, and the same of each that is ticked.
      </p>
      <details className={styles.more} open={isOpen}>
        <summary>At another time, or with a note</summary>
        <div className={styles.form}>
          <TimeFields {...form} place={formatZone(zone)} faults={faults} />
          <EventFields kind={kind} names={['note']} form={form} faults={faults} choices={choices} />
        </div>
      </details>
    </form>
  )
}
