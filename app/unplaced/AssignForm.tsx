import { Field } from '@/app/ui/Field'
import { newToken } from '@/app/ui/newToken'
import styles from '@/app/ui/Record.module.css'
import { Token } from '@/app/ui/Token'
import { displayCode } from '@/lib/custody/kitCode'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import type { LikelyKit } from '@/lib/store/read/unplaced/unplacedEvents'

/** What was typed about assigning one event, and what was wrong with it. */
export interface Assigning {
  key: string
  to: string
  reason: string
  faults: readonly HandFault[]
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
  typed: Assigning | null
}) {
  const isListed = likely.some(({ code }) => code === typed?.to)
  return (
    <details className={styles.more} open={typed !== null} id={typed ? 'assign' : undefined}>
      <summary>Assign it to a kit</summary>
      <form method="post" action="/api/record/assign" className={styles.form}>
        <Token value={newToken()} />
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
                    <code>{displayCode(code)}</code> of {plantName}
                    <small>{why}</small>
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
