import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import styles from '@/app/ui/Record.module.css'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'

/** What was found wrong with a sample, and how it was ruled on; who `mayRule` is led to what waits for it. */
export function DeviationList({ dossier, mayRule }: { dossier: SampleDossier; mayRule: boolean }) {
  const { sample, plant, row, asOf } = dossier
  if (sample.deviations.length === 0) return null
  return (
    <section className={styles.panel}>
      <h2>Found wrong</h2>
      <ul className={styles.found}>
        {sample.deviations.map(({ key, what, at, ruled }) => (
          <li key={key}>
            {what ?? 'not said what'}, <Day at={at} zone={plant.zone} now={asOf} />.{' '}
            {ruled ? (
              <>
                Ruled: {ruled.ruling}
                {ruled.reason && `; ${ruled.reason}`}.
              </>
            ) : (
              <>
                The programme has not ruled on it yet.{' '}
                {mayRule && (
                  <Link
                    href={`/samples/${row.code}?${new URLSearchParams({ record: 'ruling', on: key })}#record`}
                    scroll={false}
                  >
                    Rule on it
                  </Link>
                )}
              </>
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}
