import { useTranslate } from '#translate'
import { createFormToken } from '@/app/ui/createFormToken'
import styles from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { FormToken } from '@/app/ui/FormToken'
import { Instant } from '@/app/ui/Instant'
import type { EventKind } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'

/** The events of a kit that can be moved to another, and what was typed about it. */
export interface MoveFormState {
  events: {
    key: string
    kind: EventKind
    at: number
    zone: string
    isTicked: boolean
  }[]
  to: string
  reason: string
  faults: readonly FormFault[]
  isOpen: boolean
}

/** Moves events to another kit after a slip in the code. */
export function MoveForm({ code, moving, now }: { code: string; moving: MoveFormState; now: number }) {
  const t = useTranslate()
  const { events, to, reason, faults, isOpen } = moving
  const fault = faults.find(({ field }) => field === 'kind')
  if (events.length === 0) return null
  return (
    <details className={styles.more} open={isOpen} id="move">
      <summary>{t('record.move.summary')}</summary>
      <form method="post" action="/api/record/move" className={styles.form}>
        <FormToken value={createFormToken()} />
        <input type="hidden" name="sample" value={code} />
        <ul className={styles.ticks}>
          {events.map(({ key, kind, at, zone, isTicked }) => (
            <li key={key}>
              <label>
                <input type="checkbox" name="event" value={key} defaultChecked={isTicked} />
                <span>
                  {t(KINDS[kind].label)}
                  <small>
                    <Instant at={at} zone={zone} now={now} />
                  </small>
                </span>
              </label>
            </li>
          ))}
        </ul>
        {fault && <p className={styles.fault}>{t.message(fault.detail)}</p>}
        <Field name="kit" label={t('record.move.kit')} faults={faults}>
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
        <Field name="reason" label={t('record.field.reason')} faults={faults}>
          {(field) => <input {...field} type="text" maxLength={500} defaultValue={reason} />}
        </Field>
        <button type="submit" className={styles.second}>
          {t('record.move.submit')}
        </button>
      </form>
    </details>
  )
}
