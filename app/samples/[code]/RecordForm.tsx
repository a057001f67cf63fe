import { AskedFields, type Choices } from '@/app/ui/AskedFields'
import { newToken } from '@/app/ui/newToken'
import styles from '@/app/ui/Record.module.css'
import { TimeFields } from '@/app/ui/TimeFields'
import { Token } from '@/app/ui/Token'
import { recordWords } from '@/app/ui/words/recordWords'
import type { EventKind } from '@/lib/custody/event'
import { type AskedField, KINDS } from '@/lib/custody/eventKinds'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import type { HandField, HandForm } from '@/lib/intake/hand/handFields'

/** Fields that are seldom needed: they stay folded until something is said in one, or is wrong with it. */
const SELDOM: readonly AskedField[] = ['note']

/** Records one kind of event of one kit: one press, now; a time and a note for who has them. */
export function RecordForm({
  code,
  kind,
  form,
  faults,
  choices,
  place,
  isSpare,
}: {
  code: string
  kind: EventKind
  form: HandForm
  faults: readonly HandFault[]
  choices: Choices
  /** Where its time is read. */
  place: string
  /** The kit's product is not known. */
  isSpare: boolean
}) {
  const isCorrecting = form.corrects !== ''
  const seldom: readonly AskedField[] = isSpare || kind !== 'collected' ? SELDOM : [...SELDOM, 'product']
  const offered = { form, faults, choices, kind }
  const folded: readonly HandField[] = [...seldom, 'date', 'time']
  const isOpen =
    isCorrecting ||
    faults.some(({ field }) => folded.includes(field)) ||
    folded.some((one) => form[one] !== '')
  return (
    <form method="post" action="/api/record" className={`${styles.form} ${isCorrecting ? styles.again : ''}`}>
      <Token value={newToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="kind" value={kind} />
      {isCorrecting && <input type="hidden" name="corrects" value={form.corrects} />}
      <AskedFields {...offered} names={KINDS[kind].asks.filter((name) => !seldom.includes(name))} />
      {isCorrecting && <TimeFields {...form} place={place} faults={faults} />}
      {faults
        .filter(({ field }) => field === 'kind' || field === 'corrects')
        .map(({ detail }) => (
          <p key={detail} className={styles.fault}>
            {detail}
          </p>
        ))}
      <button type="submit" className={styles.press}>
        {isCorrecting ? 'Record it so instead' : `Record: ${recordWords(kind)}`}
      </button>
      {!isCorrecting && <p className={styles.hint}>It is recorded as of now, unless you say when.</p>}
      <details className={styles.more} open={isOpen}>
        <summary>{isCorrecting ? 'With a note' : 'At another time, or with a note'}</summary>
        <div className={styles.form}>
          {!isCorrecting && (
            <>
              <TimeFields {...form} place={place} faults={faults} />
              <p className={styles.hint}>
                A time alone is today’s. A day alone is enough where the time is not known.
              </p>
            </>
          )}
          <AskedFields {...offered} names={seldom} />
        </div>
      </details>
    </form>
  )
}
