import { AskedFields, recordWords, TimeFields } from '@/app/ui/AskedFields'
import { Link } from '@/app/ui/Link'
import { newToken } from '@/app/ui/newToken'
import styles from '@/app/ui/Record.module.css'
import { Token } from '@/app/ui/Token'
import { KINDS } from '@/lib/custody/eventKinds'
import { displayCode } from '@/lib/custody/kitCode'
import { placeName } from '@/lib/schedule/placeName'
import type { ManyRecording } from './manyRecording'

/** Records one kind of event of several kits at once: tick them, say what they have in common, one press. */
export function ManyForm({
  many,
  from,
  plant = '',
}: {
  many: ManyRecording
  from: 'plant' | 'receiving'
  plant?: string
}) {
  const { kind, rows, form, faults, choices, zone } = many
  const fault = faults.find(({ field }) => field === 'kind')
  const isOpen = form.date !== '' || form.time !== '' || form.note !== ''
  return (
    <form method="post" action="/api/record" className={styles.form}>
      <Token value={newToken()} />
      <input type="hidden" name="kind" value={kind} />
      <input type="hidden" name="from" value={from} />
      <input type="hidden" name="plant" value={plant} />
      <ul className={styles.ticks}>
        {rows.map(({ code, what, stage, lead, isPressing, isTicked }) => (
          <li key={code}>
            <label>
              <input type="checkbox" name="sample" value={code} defaultChecked={isTicked} />
              <span>
                <code>{displayCode(code)}</code> <span data-pressing={isPressing}>{lead}</span>
                <small>{what}</small>
                <small>{stage}</small>
              </span>
            </label>
            <Link href={`/samples/${code}`}>
              its page<span className="unseen">, {displayCode(code)}</span>
            </Link>
          </li>
        ))}
      </ul>
      {fault && <p className={styles.fault}>{fault.detail}</p>}
      <AskedFields
        kind={kind}
        names={KINDS[kind].asks.filter((name) => name !== 'note')}
        form={form}
        faults={faults}
        choices={choices}
      />
      <button type="submit" className={styles.press}>
        Record the ticked: {recordWords(kind)}
      </button>
      <p className={styles.hint}>
        It is recorded as of now, unless you say when, and the same of each that is ticked.
      </p>
      <details className={styles.more} open={isOpen}>
        <summary>At another time, or with a note</summary>
        <div className={styles.form}>
          <TimeFields {...form} place={placeName(zone)} faults={faults} />
          <AskedFields kind={kind} names={['note']} form={form} faults={faults} choices={choices} />
        </div>
      </details>
    </form>
  )
}
