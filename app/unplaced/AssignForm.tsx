import { useTranslate } from '#translate'
import { createFormToken } from '@/app/ui/createFormToken'
import styles from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { FormToken } from '@/app/ui/FormToken'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import type { LikelyKit } from '@/lib/store/read/unplaced/unplacedEvents'

/** What was typed about assigning one event, and what was wrong with it. */
export interface AssignFormState {
  key: string
  to: string
  reason: string
  faults: readonly FormFault[]
}

/** Gives an event that fits no sample to a kit: one that it may have meant, or another. */
export function AssignForm({
  eventKey,
  isOfConsignment,
  likely,
  typed,
}: {
  eventKey: string
  isOfConsignment: boolean
  likely: readonly LikelyKit[]
  typed: AssignFormState | null
}) {
  const t = useTranslate()
  const isListed = likely.some(({ code }) => code === typed?.to)
  return (
    <details className={styles.more} open={typed !== null} id={typed ? 'assign' : undefined}>
      <summary>Assign it to a kit</summary>
      <form method="post" action="/api/record/assign" className={styles.form}>
        <FormToken value={createFormToken()} />
        <input type="hidden" name="event" value={eventKey} />
        {isOfConsignment && (
          <p className={styles.hint}>
            It speaks of a consignment: it will count for every sample that travels with the kit you name.
          </p>
        )}
        {likely.length > 0 && (
          <ul className={styles.ticks}>
            {likely.map(({ code, plantName, why }) => (
              <li key={code}>
                <label>
                  <input type="radio" name="kit" value={code} defaultChecked={typed?.to === code} />
                  <span>
                    <code>{formatKitCode(code)}</code> of {plantName}
                    <small>{t.message(why)}</small>
                  </span>
                </label>
              </li>
            ))}
          </ul>
        )}
        <Field
          name="otherKit"
          label={likely.length > 0 ? 'Or the code of another kit' : 'Code of the kit'}
          faults={typed?.faults ?? []}
          faultOf="kit"
        >
          {(field) => (
            <input
              {...field}
              type="text"
              maxLength={40}
              autoComplete="off"
              autoCapitalize="characters"
              defaultValue={isListed ? '' : (typed?.to ?? '')}
            />
          )}
        </Field>
        <Field name="reason" label="Why" faults={typed?.faults ?? []}>
          {(field) => <input {...field} type="text" maxLength={500} defaultValue={typed?.reason ?? ''} />}
        </Field>
        <div>
          <button type="submit" className={styles.second}>
            Assign it
          </button>
        </div>
      </form>
    </details>
  )
}
