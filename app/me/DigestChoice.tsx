import styles from '@/app/ui/PlainForm.module.css'
import { AT_ONCE } from '@/lib/digest/alerts/atOnceWords'
import { AT_ONCE_KINDS } from '@/lib/judgement/atOnceKinds'
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
export function DigestChoice({ fields, faults, standIns, atOnceIsStopped, isKept }: Props) {
  const said = (name: keyof DigestFields) =>
    faults[name] && (
      <span className={styles.fault} role="alert">
        {faults[name]}
      </span>
    )
  return (
    <section aria-labelledby="weekly">
      <h2 id="weekly">Your mail</h2>
      {isKept && <p role="status">Kept. It holds from now on.</p>}
      <p>
        Once a week, what is yours to do comes by mail; what cannot wait, at once if you choose so.{' '}
        <a href="/digest">See the next one, and past ones.</a>
      </p>
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
          {AT_ONCE_KINDS.map((kind) => (
            <label key={kind} className={styles.choice}>
              <input
                type="checkbox"
                name="atOnce"
                value={kind}
                defaultChecked={fields.atOnce.split(',').includes(kind)}
              />
              {AT_ONCE[kind].chosen}
            </label>
          ))}
          {atOnceIsStopped && (
            <small>
              You have stopped mails at once, those of whom you stand in for too. Choose one to have them
              again.
            </small>
          )}
        </fieldset>
        <label>
          <span>Language of dates</span>
          <input name="language" defaultValue={fields.language} maxLength={35} autoComplete="off" />
          <small>Like en-GB, de or pt-BR. {said('language')}</small>
        </label>
        {standIns.length === 0 && (
          <p>
            While you are away it can go to someone else of your plants or laboratories. Nobody else is
            entered there yet; an administrator can enter them.
          </p>
        )}
        {standIns.length > 0 && (
          <>
            <label>
              <span>While you are away it goes to</span>
              <select name="standIn" defaultValue={fields.standIn}>
                <option value="">nobody else</option>
                {standIns.map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name}
                  </option>
                ))}
              </select>
              <small>
                Who is at one of your plants or laboratories. One who does not see all that is yours to do
                carries nothing of it: your mail then comes to you. {said('standIn')}
              </small>
            </label>
            <label>
              <span>First day away</span>
              <input type="date" name="from" defaultValue={fields.from} />
              <small>{said('from')}</small>
            </label>
            <label>
              <span>Last day away</span>
              <input type="date" name="until" defaultValue={fields.until} />
              <small>{said('until')}</small>
            </label>
          </>
        )}
        <p>
          <button type="submit">Keep this</button>
        </p>
      </form>
    </section>
  )
}
