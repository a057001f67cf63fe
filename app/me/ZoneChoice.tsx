import { useTranslate } from '#translate'
import { Field } from '@/app/ui/Field'
import { Instant } from '@/app/ui/Instant'
import styles from '@/app/ui/PlainForm.module.css'
import { formatDateTime } from '@/app/ui/words/instant'
import { parseZone } from './zoneField'

interface Props {
  /** The IANA zone that holds. */
  zone: string
  /** Whether mail comes to them by it. */
  hasMail: boolean
  /** What was typed and names no zone; null where nothing was refused. */
  refused: string | null
  /** What was chosen has just been kept. */
  isKept: boolean
  /** In ms UTC. */
  now: number
}

/** In which zone a person reads times. */
export function ZoneChoice({ zone, hasMail, refused, isKept, now }: Props) {
  const faults =
    refused === null
      ? []
      : [
          {
            field: 'zone',
            detail: `“${refused}” is no time zone. Choose one of the list, like Europe/Lisbon.`,
          },
        ]
  return (
    <section aria-labelledby="zone">
      <h2 id="zone">Your time zone</h2>
      {isKept && <p role="status">Kept. It holds from now on.</p>}
      <p>
        {hasMail && 'Your mail comes by it. '}Times that are yours are told in it. In {zone} it is now{' '}
        <Instant at={now} zone={zone} now={now} />.
      </p>
      {refused !== null && (
        <p role="alert" className={styles.fault}>
          It was not kept.
        </p>
      )}
      <form method="post" action="/api/me/zone" className={styles.form}>
        <Field
          name="zone"
          label="Zone"
          faults={faults}
          hint="A region and a city that keeps its time, like Europe/Lisbon."
        >
          {(control) => (
            <input
              {...control}
              list="zones"
              defaultValue={refused ?? zone}
              maxLength={64}
              required
              autoComplete="off"
              autoCapitalize="off"
              spellCheck={false}
            />
          )}
        </Field>
        <ZoneList now={now} />
        <p>
          <button type="submit">Keep this zone</button>
        </p>
      </form>
    </section>
  )
}

/** What an address says was typed as a zone and could not be kept; null where it says nothing or names a zone. */
export function findRefusedZone(typed: string | string[] | undefined): string | null {
  if (typeof typed !== 'string' || parseZone(typed) !== undefined) return null
  return typed.slice(0, 64)
}

/** The zones that a field with `list="zones"` offers, each with the time that it is there. `now` in ms UTC. */
export function ZoneList({ now }: { now: number }) {
  const t = useTranslate()
  return (
    <datalist id="zones">
      {Intl.supportedValuesOf('timeZone').map((zone) => (
        <option key={zone} value={zone} label={`there it is ${formatDateTime(t, now, zone, now)}`} />
      ))}
    </datalist>
  )
}
