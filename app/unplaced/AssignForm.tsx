import { useTranslate } from '#translate'
import { createFormToken } from '@/app/ui/createFormToken'
import styles from '@/app/ui/EventForm.module.css'
import { Field } from '@/app/ui/Field'
import { FormToken } from '@/app/ui/FormToken'
import { rich } from '@/app/ui/language/rich'
import { isOfUnknownBox } from '@/lib/custody/event'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import type { UnplacedEvent } from '@/lib/store/read/unplaced/unplacedEvents'

/** What was typed to assign one event, and its faults. */
export interface AssignFormState {
  key: string
  to: string
  reason: string
  faults: readonly FormFault[]
}

/** Assigns an event that matches no sample to a kit: a likely one, or another. A claim is confirmed for its own. */
export function AssignForm({
  event: { key, event, likely, isClaim },
  typed,
}: {
  event: UnplacedEvent
  typed: AssignFormState | null
}) {
  const t = useTranslate()
  const isListed = likely.some(({ code }) => code === typed?.to)
  return (
    <details className={styles.more} open={typed !== null} id={typed ? 'assign' : undefined}>
      <summary>{t(isClaim ? 'unplaced.claims.summary' : 'unplaced.assign.summary')}</summary>
      <form method="post" action="/api/record/assign" className={styles.form}>
        <FormToken value={createFormToken()} />
        <input type="hidden" name="event" value={key} />
        {event.sample === null && !isOfUnknownBox(event) && (
          <p className={styles.hint}>{t('unplaced.assign.consignment')}</p>
        )}
        {isClaim && <input type="hidden" name="kit" value={event.sample ?? ''} />}
        {likely.length > 0 && !isClaim && (
          <ul className={styles.ticks}>
            {likely.map(({ code, plantName, why }) => (
              <li key={code}>
                <label>
                  <input type="radio" name="kit" value={code} defaultChecked={typed?.to === code} />
                  <span>
                    {rich(t, 'unplaced.assign.kit', {
                      code: (text) => <code>{text}</code>,
                      kit: formatKitCode(code),
                      plant: plantName,
                    })}
                    <small>{t.message(why)}</small>
                  </span>
                </label>
              </li>
            ))}
          </ul>
        )}
        {!isClaim && (
          <Field
            name="otherKit"
            label={t(likely.length > 0 ? 'unplaced.assign.otherKit' : 'unplaced.assign.code')}
            faults={typed?.faults ?? []}
            faultField="kit"
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
        )}
        <Field name="reason" label={t('record.field.reason')} faults={typed?.faults ?? []}>
          {(field) => <input {...field} type="text" maxLength={500} defaultValue={typed?.reason ?? ''} />}
        </Field>
        <div>
          <button type="submit" className={styles.second}>
            {t(isClaim ? 'unplaced.claims.submit' : 'unplaced.assign.submit')}
          </button>
        </div>
      </form>
    </details>
  )
}
