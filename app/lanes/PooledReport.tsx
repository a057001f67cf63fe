import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import { LAST_YEAR_CAPTION, TurnaroundTable } from '@/app/ui/TurnaroundTable'
import { formatLongInstant } from '@/app/ui/words/instant'
import { formatShipmentCount, formatTransitSummary } from '@/app/ui/words/laneText'
import type { PooledTurnaround } from '@/lib/store/read/figures/turnaround'
import type { PooledTransit } from '@/lib/store/read/lanes/laneFigures'
import styles from './Lanes.module.css'
import { TransitFigure, TransitTable } from './TransitFigure'

/** The programme as a whole, for a reader: nothing in it is of one plant, one lane or one laboratory. */
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
      <Head className={styles.heading}>How long it takes over the whole programme</Head>
      <p className="prose">
        No lane, plant or laboratory is named here, and a figure is told only where three makers or more stand
        behind it.
      </p>
      {transit === null ? (
        <p>Fewer than three makers have sent anything that arrived, so transit is withheld.</p>
      ) : (
        <>
          <p className={styles.lead}>{formatTransitSummary(t, transit.curve)}</p>
          <TransitFigure curve={transit.curve} />
          <p className={styles.axis}>
            Open days of the laboratory after the day of hand-over, over{' '}
            {formatShipmentCount(t, transit.counts.all)} shipments; 0 is that day. The line is the estimated
            share that has arrived when the day is over, the band holds it with a chance of 90 %.
          </p>
          <details>
            <summary>The same as a table</summary>
            <div className={table.scroll}>
              <TransitTable curve={transit.curve} className={`${table.table} ${table.narrow}`} />
            </div>
          </details>
        </>
      )}
      <Part>How long each part of the way takes</Part>
      <TurnaroundTable times={times} caption={LAST_YEAR_CAPTION} />
    </>
  )
}
