import { useTranslate } from '#translate'
import { Field } from '@/app/ui/Field'
import { rich } from '@/app/ui/language/rich'
import styles from '@/app/ui/PlainForm.module.css'
import { EVENT_KINDS } from '@/lib/custody/event'
import type { KeyFaults, KeyFields, KeyPlace } from './keyFields'

/** The form that makes a key, with a sentence beside each field that cannot be used. */
export function KeyForm({
  fields,
  faults,
  places,
}: {
  fields: KeyFields
  faults: KeyFaults
  places: { plants: readonly KeyPlace[]; laboratories: readonly KeyPlace[] }
}) {
  const t = useTranslate()
  const faultList = Object.entries(faults).map(([field, detail]) => ({ field, detail }))
  return (
    <div className="prose">
      <h1>{t('keys.make')}</h1>
      {faultList.length > 0 && (
        <p role="alert" className={styles.fault}>
          {t('keys.form.fault')}
        </p>
      )}
      <form method="post" action="/api/keys" className={styles.form}>
        <Field name="name" label={t('keys.form.name')} faults={faultList} hint={t('keys.form.nameHint')}>
          {(control) => <input {...control} defaultValue={fields.name} maxLength={100} autoComplete="off" />}
        </Field>
        <Field
          name="sources"
          label={t('keys.form.sources')}
          faults={faultList}
          hint={rich(t, 'keys.form.sourcesHint', { code: (text) => <code>{text}</code> })}
        >
          {(control) => <textarea {...control} rows={3} defaultValue={fields.sources} spellCheck={false} />}
        </Field>
        <fieldset>
          <legend>{t('keys.form.side')}</legend>
          <Fault text={faults.side} />
          <Choice name="side" value="plant" chosen={fields.side} label={t('keys.form.plantSide')} />
          <Places name="plants" places={places.plants} ticked={fields.plants} />
          <Choice name="side" value="laboratory" chosen={fields.side} label={t('keys.form.laboratorySide')} />
          <Places name="laboratories" places={places.laboratories} ticked={fields.laboratories} />
          <Choice name="side" value="carrier" chosen={fields.side} label={t('keys.form.carrierSide')} />
          <Choice name="side" value="programme" chosen={fields.side} label={t('keys.form.programmeSide')} />
        </fieldset>
        <fieldset>
          <legend>{t('keys.form.events')}</legend>
          <Choice name="reports" value="all" chosen={fields.reports} label={t('keys.form.sideKinds')} />
          <Choice name="reports" value="some" chosen={fields.reports} label={t('keys.form.someKinds')} />
          <Fault text={faults.reports} />
          <div className={styles.ticks}>
            {/* The kinds as they are on the wire: whoever sets up a machine writes them so. */}
            {EVENT_KINDS.map((kind) => (
              <Tick key={kind} name="kinds" value={kind} ticked={fields.kinds} label={kind} />
            ))}
          </div>
        </fieldset>
        <fieldset>
          <legend>{t('keys.form.further')}</legend>
          <Tick
            name="history"
            value="yes"
            ticked={fields.history ? ['yes'] : []}
            label={t('keys.form.history')}
          />
          <Tick
            name="register"
            value="yes"
            ticked={fields.register ? ['yes'] : []}
            label={t('keys.form.register')}
          />
          <Fault text={faults.register} />
          <Tick name="signs" value="yes" ticked={fields.signs ? ['yes'] : []} label={t('keys.form.signs')} />
        </fieldset>
        <Field
          name="expires"
          label={t('keys.form.expires')}
          faults={faultList}
          hint={t('keys.form.expiresHint')}
        >
          {(control) => <input {...control} type="date" defaultValue={fields.expires} />}
        </Field>
        <p>
          <button type="submit">{t('keys.form.submit')}</button> <a href="/keys">{t('keys.form.back')}</a>
        </p>
      </form>
    </div>
  )
}

/** The plants or laboratories for which it can speak, below their choice. */
function Places({
  name,
  places,
  ticked,
}: {
  name: string
  places: readonly KeyPlace[]
  ticked: readonly string[]
}) {
  const t = useTranslate()
  return (
    <div className={styles.ticks}>
      {places.map((place) => (
        <Tick
          key={place.code}
          name={name}
          value={place.code}
          ticked={ticked}
          label={t('keys.form.place', { name: place.name, code: place.code })}
        />
      ))}
    </div>
  )
}

function Choice({
  name,
  value,
  chosen,
  label,
}: {
  name: string
  value: string
  chosen: string
  label: string
}) {
  return (
    <label className={styles.choice}>
      <input type="radio" name={name} value={value} defaultChecked={chosen === value} />
      <span>{label}</span>
    </label>
  )
}

function Tick({
  name,
  value,
  ticked,
  label,
}: {
  name: string
  value: string
  ticked: readonly string[]
  label: string
}) {
  return (
    <label className={styles.choice}>
      <input type="checkbox" name={name} value={value} defaultChecked={ticked.includes(value)} />
      <span>{label}</span>
    </label>
  )
}

function Fault({ text }: { text: string | undefined }) {
  return text === undefined ? null : <p className={styles.fault}>{text}</p>
}
