import { Instant } from '@/app/ui/Instant'
import { newToken } from '@/app/ui/newToken'
import styles from '@/app/ui/Record.module.css'
import { Token } from '@/app/ui/Token'
import { capitalised } from '@/app/ui/words/numberWords'
import type { ReadEvent } from '@/lib/custody/event'
import { keyOf } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'

/** Says which report is about to be changed, and takes it out of the count with one press. */
export function ChangePanel({
  change,
  code,
  zone,
  now,
}: {
  change: ReadEvent
  code: string
  zone: string
  now: number
}) {
  return (
    <form method="post" action="/api/record/undo" className={styles.form}>
      <Token value={newToken()} />
      <input type="hidden" name="sample" value={code} />
      <input type="hidden" name="event" value={keyOf(change)} />
      <p>
        {capitalised(KINDS[change.kind].happened)}, <Instant at={change.earliestAt} zone={zone} now={now} />.
        Take it out if it did not happen, or put it right below.
      </p>
      <div>
        <button type="submit" className={styles.second}>
          Take it out of the count
        </button>
      </div>
    </form>
  )
}
