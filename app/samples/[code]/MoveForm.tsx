import { Field } from '@/app/ui/Field'
import { Instant } from '@/app/ui/Instant'
import { newToken } from '@/app/ui/newToken'
import styles from '@/app/ui/Record.module.css'
import { Token } from '@/app/ui/Token'
import type { EventKind } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import type { HandFault } from '@/lib/intake/hand/handEvent'

/** The events of a kit that can be moved to another, and what was typed about it. */
export interface Moving {
  events: {
    key: string
    kind: EventKind
    at: number
    zone: string
    isTicked: boolean
  }[]
  to: string
  reason: string
  faults: readonly HandFault[]
  isOpen: boolean
}

/** Moves events to another kit, where the slip was the code. */
export function MoveForm({ code, moving, now }: { code: string; moving: Moving; now: number }) {
  const { events, to, reason, faults, isOpen } = moving
  const fault = faults.find(({ field }) => field === 'kind')
  if (events.length === 0) return null
  return (
    <details className={styles.more} open={isOpen} id="move">
      <summary>Its events belong to another kit</summary>
      <form method="post" action="/api/record/move" className={styles.form}>
        <Token value={newToken()} />
        <input type="hidden" name="sample" value={code} />
        <ul className={styles.ticks}>
          {events.map(({ key, kind, at, zone, isTicked }) => (
            <li key={key}>
              <label>
                <input type="checkbox" name="event" value={key} defaultChecked={isTicked} />
                <span>
                  {KINDS[kind].happened}
                  <small>
                    <Instant at={at} zone={zone} now={now} />
                  </small>
                </span>
              </label>
            </li>
          ))}
        </ul>
        {fault && <p className={styles.fault}>{fault.detail}</p>}
        <Field name="kit" label="Code of the kit they belong to" faults={faults}>
          {(field) => (
            <input
              {...field}
              type="text"
              maxLength={40}
              autoCapitalize="characters"
              autoComplete="off"
              defaultValue={to}
            />
          )}
        </Field>
        <Field name="reason" label="Why" faults={faults}>
          {(field) => <input {...field} type="text" maxLength={500} defaultValue={reason} />}
        </Field>
        <button type="submit" className={styles.second}>
          Move them
        </button>
      </form>
    </details>
  )
}
