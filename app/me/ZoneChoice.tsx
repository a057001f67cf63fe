import { useTranslate } from '#translate'
import { Field } from '@/app/ui/Field'
import { Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import styles from '@/app/ui/PlainForm.module.css'
import { formatDateTime } from '@/app/ui/words/instant'
import { parseZone } from './zoneField'

interface Props {
  /** The person's IANA zone. */
  zone: string
  /** Whether they get mail, which follows the zone. */
  hasMail: boolean
  /** A text that was sent but names no zone; null if nothing was refused. */
  refused: string | null
  /** Whether the zone was just saved. */
  isKept: boolean
  /** In ms UTC. */
  now: number
}

/** The form for the zone in which a person reads times. */
export function ZoneChoice({ zone, hasMail, refused, isKept, now }: Props) {
  const t = useTranslate()
  const faults =
    refused === null
      ? []
      : [
          {
            field: 'zone',
            detail: t('account.zone.unknown', { zone: refused }),
          },
        ]
  return (
    <section aria-labelledby="zone">
      <h2 id="zone">{t('account.zone.title')}</h2>
      {isKept && <p role="status">{t('account.zone.saved')}</p>}
      <p>
        {rich(t, hasMail ? 'account.zone.mailNow' : 'account.zone.now', {
          time: <Instant at={now} zone={zone} now={now} />,
        })}
      </p>
      {refused !== null && (
        <p role="alert" className={styles.fault}>
          {t('account.zone.notSaved')}
        </p>
      )}
      <form method="post" action="/api/me/zone" className={styles.form}>
        <Field name="zone" label={t('account.zone.label')} faults={faults} hint={t('account.zone.hint')}>
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
          <button type="submit">{t('account.zone.submit')}</button>
        </p>
      </form>
    </section>
  )
}

/** The text in a query that was sent as a zone but names none, cut to 64 characters; null if there is none. */
export function findRefusedZone(typed: string | string[] | undefined): string | null {
  if (typeof typed !== 'string' || parseZone(typed) !== undefined) return null
  return typed.slice(0, 64)
}

/** The zones that a field with `list="zones"` offers, each with its current time. `now` in ms UTC. */
export function ZoneList({ now }: { now: number }) {
  const t = useTranslate()
  return (
    <datalist id="zones">
      {Intl.supportedValuesOf('timeZone').map((zone) => (
        <option
          key={zone}
          value={zone}
          label={t('account.zone.option', { time: formatDateTime(t, now, zone, now) })}
        />
      ))}
    </datalist>
  )
}
