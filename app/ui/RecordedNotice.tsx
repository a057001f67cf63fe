import { useTranslate } from '#translate'
import { KINDS } from '@/lib/custody/eventKinds'
import { formatKitCode } from '@/lib/custody/kitCode'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { SubmittedEvent } from '@/lib/store/read/sample/eventForm'
import { createFormToken } from './createFormToken'
import styles from './EventForm.module.css'
import { FormToken } from './FormToken'
import { Instant } from './Instant'
import { Link } from './Link'
import { spellCount } from './words/number'

/** What a person has just recorded, with a press that undoes it. `from`: the page it stands on. */
export function RecordedNotice({
  events,
  now,
  from,
  plant = '',
  canUndo,
}: {
  events: readonly SubmittedEvent[]
  now: number
  from: 'sample' | 'plant' | 'receiving'
  plant?: string
  canUndo: (event: SubmittedEvent) => boolean
}) {
  const t = useTranslate()
  const first = events[0]
  if (!first) return null
  const undoable = events.filter((event) => !event.isTakenOut && event.kind !== 'withdrawn' && canUndo(event))
  const one = events.length === 1 ? first : null
  return (
    <div className={styles.done} id="done" role="status">
      <p>
        {first.kind === 'withdrawn' ? (
          <>
            {one ? 'It is' : 'They are'} out of the count. What was reported stays in sight, struck through.
          </>
        ) : (
          <>
            Recorded: {t(KINDS[first.kind].label)},{' '}
            <Instant at={first.earliestAt} zone={first.zone} now={now} />
            {one ? '' : `, of ${spellCount(t, events.length, 'sample')}`}.
            {undoable.length === 0 && first.isTakenOut && ' It was taken out since.'}
          </>
        )}
      </p>
      {!one && (
        <p>
          {events.map(({ key, sample }) => (
            <span key={key}>
              {sample && <Link href={`/samples/${sample}`}>{formatKitCode(sample)}</Link>}{' '}
            </span>
          ))}
        </p>
      )}
      {from === 'sample' && (
        <p>
          See <Link href="/due">what is still due</Link>.
        </p>
      )}
      {undoable.length > 0 && (
        <form method="post" action="/api/record/undo">
          <FormToken value={createFormToken()} />
          <input type="hidden" name="from" value={from} />
          <input type="hidden" name="plant" value={plant} />
          {undoable.map(({ key, sample }) => (
            <span key={key} hidden>
              <input type="hidden" name="sample" value={sample ?? ''} />
              <input type="hidden" name="event" value={key} />
            </span>
          ))}
          <button type="submit" className={styles.second}>
            {capitalised(undoable.length === 1 ? 'undo' : `undo all ${undoable.length}`)}
          </button>
          {one?.sample && (
            <Link href={`/samples/${one.sample}?change=${encodeURIComponent(one.key)}#record`}>
              change the time
            </Link>
          )}
        </form>
      )}
    </div>
  )
}
