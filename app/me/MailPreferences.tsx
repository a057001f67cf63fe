import { Field } from '@/app/ui/Field'
import styles from '@/app/ui/PlainForm.module.css'
import { ALERTS } from '@/lib/digest/alerts/alertText'
import { ALERT_KINDS } from '@/lib/judgement/alertKinds'
import type { DigestFaults, DigestFields } from './digestFields'

interface Props {
  fields: DigestFields
  faults: DigestFaults
  standIns: readonly { id: string; name: string }[]
  /** They stopped mails at once by a link. */
  atOnceIsStopped: boolean
  /** What was chosen has just been kept. */
  isKept: boolean
}

/** What a person chooses about their weekly mail. */
export function MailPreferences({ fields, faults, standIns, atOnceIsStopped, isKept }: Props) {
  const told = Object.entries(faults).map(([field, detail]) => ({ field, detail }))
  return (
    <section aria-labelledby="weekly">
      <h2 id="weekly">Your mail</h2>
      {isKept && <p role="status">Kept. It holds from now on.</p>}
      <p>
        Once a week, what is yours to do comes by mail; what cannot wait, at once if you choose so.{' '}
        <a href="/digest">See the next one, and past ones.</a>
      </p>
      {told.length > 0 && (
        <p role="alert" className={styles.fault}>
          Nothing was kept: something has to be put right first, beside its field.
        </p>
      )}
      <form method="post" action="/api/me/digest" className={styles.form}>
        <fieldset>
          <legend>Each week</legend>
          <label className={styles.choice}>
            <input type="checkbox" name="wanted" value="yes" defaultChecked={fields.wanted === 'yes'} />
            Send it to me
          </label>
          <label className={styles.choice}>
            <input type="checkbox" name="quiet" value="yes" defaultChecked={fields.quiet === 'yes'} />
            Also where nothing is overdue
          </label>
        </fieldset>
        <fieldset>
          <legend>At once, by a mail of its own, when a sample</legend>
          {ALERT_KINDS.map((kind) => (
            <label key={kind} className={styles.choice}>
              <input
                type="checkbox"
                name="atOnce"
                value={kind}
                defaultChecked={fields.atOnce.split(',').includes(kind)}
              />
              {ALERTS[kind].choice}
            </label>
          ))}
          {atOnceIsStopped && (
            <small>
              You have stopped mails at once, those of whom you stand in for too. Choose one to have them
              again.
            </small>
          )}
        </fieldset>
        <Field name="language" label="Language of dates" faults={told} hint="Like en-GB, de or pt-BR.">
          {(control) => (
            <input {...control} defaultValue={fields.language} maxLength={35} autoComplete="off" />
          )}
        </Field>
        {standIns.length === 0 && (
          <p>
            While you are away it can go to someone else of your plants or laboratories. Nobody else is
            entered there yet; an administrator can enter them.
          </p>
        )}
        {standIns.length > 0 && (
          <>
            <Field
              name="standIn"
              label="While you are away it goes to"
              faults={told}
              hint="Who is at one of your plants or laboratories. One who does not see all that is yours to do carries nothing of it: your mail then comes to you."
            >
              {(control) => (
                <select {...control} defaultValue={fields.standIn}>
                  <option value="">nobody else</option>
                  {standIns.map(({ id, name }) => (
                    <option key={id} value={id}>
                      {name}
                    </option>
                  ))}
                </select>
              )}
            </Field>
            <Field name="from" label="First day away" faults={told}>
              {(control) => <input {...control} type="date" defaultValue={fields.from} />}
            </Field>
            <Field name="until" label="Last day away" faults={told}>
              {(control) => <input {...control} type="date" defaultValue={fields.until} />}
            </Field>
          </>
        )}
        <p>
          <button type="submit">Keep this</button>
        </p>
      </form>
    </section>
  )
}
