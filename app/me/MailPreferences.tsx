import { useTranslate } from '#translate'
import { Field } from '@/app/ui/Field'
import { rich } from '@/app/ui/language/rich'
import styles from '@/app/ui/PlainForm.module.css'
import { ALERTS } from '@/lib/digest/alerts/alertText'
import { ALERT_KINDS } from '@/lib/judgement/alertKinds'
import type { DigestFaults, DigestFields } from './digestFields'

interface Props {
  fields: DigestFields
  faults: DigestFaults
  standIns: readonly { id: string; name: string }[]
  /** They stopped alerts by the link in a mail. */
  alertsAreStopped: boolean
  /** The choice was just saved. */
  isSaved: boolean
}

/** What a person chooses about their mail. */
export function MailPreferences({ fields, faults, standIns, alertsAreStopped, isSaved }: Props) {
  const t = useTranslate()
  const faultList = Object.entries(faults).map(([field, detail]) => ({ field, detail }))
  return (
    <section aria-labelledby="weekly">
      <h2 id="weekly">{t('mailPreferences.title')}</h2>
      {isSaved && <p role="status">{t('mailPreferences.saved')}</p>}
      <p>{rich(t, 'mailPreferences.intro', { link: (inside) => <a href="/digest">{inside}</a> })}</p>
      {faultList.length > 0 && (
        <p role="alert" className={styles.fault}>
          {t('mailPreferences.notSaved')}
        </p>
      )}
      <form method="post" action="/api/me/digest" className={styles.form}>
        <fieldset>
          <legend>{t('mailPreferences.weekly')}</legend>
          <label className={styles.choice}>
            <input type="checkbox" name="wanted" value="yes" defaultChecked={fields.wanted === 'yes'} />
            {t('mailPreferences.weekly.wanted')}
          </label>
          <label className={styles.choice}>
            <input type="checkbox" name="quiet" value="yes" defaultChecked={fields.quiet === 'yes'} />
            {t('mailPreferences.weekly.quiet')}
          </label>
        </fieldset>
        <fieldset>
          <legend>{t('mailPreferences.alerts')}</legend>
          {ALERT_KINDS.map((kind) => (
            <label key={kind} className={styles.choice}>
              <input
                type="checkbox"
                name="alerts"
                value={kind}
                defaultChecked={fields.alerts.split(',').includes(kind)}
              />
              {t(ALERTS[kind].choice)}
            </label>
          ))}
          {alertsAreStopped && <small>{t('mailPreferences.alerts.stopped')}</small>}
        </fieldset>
        <Field
          name="language"
          label={t('mailPreferences.language')}
          faults={faultList}
          hint={t('mailPreferences.language.hint')}
        >
          {(control) => (
            <input {...control} defaultValue={fields.language} maxLength={35} autoComplete="off" />
          )}
        </Field>
        {standIns.length === 0 && <p>{t('mailPreferences.standIn.none')}</p>}
        {standIns.length > 0 && (
          <>
            <Field
              name="standIn"
              label={t('mailPreferences.standIn')}
              faults={faultList}
              hint={t('mailPreferences.standIn.hint')}
            >
              {(control) => (
                <select {...control} defaultValue={fields.standIn}>
                  <option value="">{t('mailPreferences.standIn.nobody')}</option>
                  {standIns.map(({ id, name }) => (
                    <option key={id} value={id}>
                      {name}
                    </option>
                  ))}
                </select>
              )}
            </Field>
            <Field name="from" label={t('mailPreferences.from')} faults={faultList}>
              {(control) => <input {...control} type="date" defaultValue={fields.from} />}
            </Field>
            <Field name="until" label={t('mailPreferences.until')} faults={faultList}>
              {(control) => <input {...control} type="date" defaultValue={fields.until} />}
            </Field>
          </>
        )}
        <p>
          <button type="submit">{t('mailPreferences.save')}</button>
        </p>
      </form>
    </section>
  )
}
