import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import { TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { formatLongInstant } from '@/app/ui/words/instant'
import { formatTransitSummary } from '@/app/ui/words/lane'
import type { PooledTurnaround } from '@/lib/store/read/figures/turnaround'
import type { PooledTransit } from '@/lib/store/read/lanes/laneFigures'
import styles from './Lanes.module.css'
import { TransitFigure, TransitTable } from './TransitFigure'

/** The programme as a whole, for a reader: it names no plant, lane or laboratory. */
export function PooledReport({
  transit,
  times,
  asOf,
  isAlone,
}: {
  transit: PooledTransit | null
  times: PooledTurnaround
  asOf: number
  /** Nothing else is on the page. */
  isAlone: boolean
}) {
  const t = useTranslate()
  const [Head, Part] = isAlone ? (['h1', 'h2'] as const) : (['h2', 'h3'] as const)
  return (
    <>
      {isAlone && <p className={styles.when}>{formatLongInstant(t, asOf, 'UTC', asOf)}</p>}
      <Head className={styles.heading}>{t('lanes.pooled.heading')}</Head>
      <p className="prose">{t('lanes.pooled.about')}</p>
      {transit === null ? (
        <p>{t('lanes.pooled.withheld')}</p>
      ) : (
        <>
          <p className={styles.lead}>{formatTransitSummary(t, transit.curve)}</p>
          <TransitFigure curve={transit.curve} />
          <p className={styles.axis}>
            {t('lanes.pooled.axis', { shipments: Math.round(transit.counts.all) })}
          </p>
          <details>
            <summary>{t('lanes.time.table')}</summary>
            <div className={table.scroll}>
              <TransitTable curve={transit.curve} className={`${table.table} ${table.narrow}`} />
            </div>
          </details>
        </>
      )}
      <Part>{t('lanes.turnaround.heading')}</Part>
      <TurnaroundTable times={times} />
    </>
  )
}
