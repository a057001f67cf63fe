import { useTranslate } from '#translate'
import styles from '@/app/ui/EventForm.module.css'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { RULING_LABELS } from '@/lib/custody/finding'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'

/** The deviations of a sample and the rulings on them; whoever `mayRule` gets a link to the form. */
export function DeviationList({ dossier, mayRule }: { dossier: SampleDossier; mayRule: boolean }) {
  const t = useTranslate()
  const { sample, plant, row, asOf } = dossier
  if (sample.findings.length === 0) return null
  return (
    <section className={styles.panel}>
      <h2>{t('samples.deviations.heading')}</h2>
      <ul className={styles.found}>
        {sample.findings.map(({ key, what, at, decision }) => {
          const values = {
            what: t.message(what),
            day: <Day at={at} zone={plant.zone} now={asOf} />,
          }
          return (
            <li key={key}>
              {decision
                ? rich(t, 'samples.deviations.ruled', {
                    ...values,
                    ruling: t(RULING_LABELS[decision.ruling]),
                    hasReason: decision.reason ? 'yes' : 'no',
                    reason: decision.reason ?? '',
                  })
                : rich(t, 'samples.deviations.open', values)}{' '}
              {!decision && mayRule && (
                <Link
                  href={`/samples/${row.code}?${new URLSearchParams({ record: 'ruling', on: key })}#record`}
                  scroll={false}
                >
                  {t('samples.deviations.rule')}
                </Link>
              )}
            </li>
          )
        })}
      </ul>
    </section>
  )
}
