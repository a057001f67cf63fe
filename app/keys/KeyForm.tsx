import { Field } from '@/app/ui/Field'
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
  const faultList = Object.entries(faults).map(([field, detail]) => ({ field, detail }))
  return (
    <div className="prose">
      <h1>Make a key</h1>
      {Object.keys(faults).length > 0 && (
        <p role="alert" className={styles.fault}>
          No key was made: something has to be put right first, beside its field.
        </p>
      )}
      <form method="post" action="/api/keys" className={styles.form}>
        <Field
          name="name"
          label="Name"
          faults={faultList}
          hint="What it is for and where it is kept, like “scanner at the north dock”."
        >
          {(control) => <input {...control} defaultValue={fields.name} maxLength={100} autoComplete="off" />}
        </Field>
        <Field
          name="sources"
          label="Sources, one a line"
          faults={faultList}
          hint={
            <>
              The key may write these as the <code>source</code> of an event, and no other.
            </>
          }
        >
          {(control) => <textarea {...control} rows={3} defaultValue={fields.sources} spellCheck={false} />}
        </Field>
        <fieldset>
          <legend>Of which samples it reports</legend>
          <Choice name="reach" value="all" now={fields.reach} label="Of every sample" />
          <Choice name="reach" value="some" now={fields.reach} label="Only of samples of, or bound for" />
          <Fault of={faults.reach} />
          <div className={styles.ticks}>
            {places.plants.map(({ code, name }) => (
              <Tick
                key={code}
                name="plants"
                value={code}
                ticked={fields.plants}
                label={`${name} (${code})`}
              />
            ))}
            {places.laboratories.map(({ code, name }) => (
              <Tick
                key={code}
                name="laboratories"
                value={code}
                ticked={fields.laboratories}
                label={`${name} (${code})`}
              />
            ))}
          </div>
        </fieldset>
        <fieldset>
          <legend>What it reports</legend>
          <Choice name="reports" value="all" now={fields.reports} label="Every kind of event" />
          <Choice name="reports" value="some" now={fields.reports} label="Only" />
          <Fault of={faults.reports} />
          <div className={styles.ticks}>
            {EVENT_KINDS.map((kind) => (
              <Tick key={kind} name="kinds" value={kind} ticked={fields.kinds} label={kind} />
            ))}
          </div>
        </fieldset>
        <fieldset>
          <legend>Further</legend>
          <Tick
            name="history"
            value="yes"
            ticked={fields.history ? ['yes'] : []}
            label="It imports history: its own word is taken for when a report was made"
          />
          <Tick
            name="register"
            value="yes"
            ticked={fields.register ? ['yes'] : []}
            label="It may send the register, whole; only with every sample above"
          />
          <Fault of={faults.register} />
          <Tick
            name="signs"
            value="yes"
            ticked={fields.signs ? ['yes'] : []}
            label="It signs what it sends (RFC 9421), and its secret never travels"
          />
        </fieldset>
        <Field
          name="expires"
          label="Last day on which it works"
          faults={faultList}
          hint="To its end in UTC. Empty: until it is revoked."
        >
          {(control) => <input {...control} type="date" defaultValue={fields.expires} />}
        </Field>
        <p>
          <button type="submit">Make the key</button> <a href="/keys">Back to the keys</a>
        </p>
      </form>
    </div>
  )
}

/** One of two ways, of which one is chosen. */
function Choice({ name, value, now, label }: { name: string; value: string; now: string; label: string }) {
  return (
    <label className={styles.choice}>
      <input type="radio" name={name} value={value} defaultChecked={now === value} />
      <span>{label}</span>
    </label>
  )
}

/** Something that can be ticked. */
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

/** What is wrong with a field and what would be right. */
function Fault({ of: text }: { of: string | undefined }) {
  return text === undefined ? null : <p className={styles.fault}>{text}</p>
}
