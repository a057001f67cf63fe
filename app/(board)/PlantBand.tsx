import { useTranslate } from '#translate'
import { ActLink } from '@/app/ui/ActLink'
import { HoldStrip } from '@/app/ui/HoldStrip'
import { Link } from '@/app/ui/Link'
import { StandingDetail } from '@/app/ui/StandingDetail'
import { findStopTimeZone } from '@/app/ui/strip'
import { useViewer } from '@/app/ui/ViewerProvider'
import { formatRowAct } from '@/app/ui/words/act'
import { formatDateTime } from '@/app/ui/words/instant'
import { formatShipLine } from '@/app/ui/words/shipAdvice'
import { formatWhereabouts } from '@/app/ui/words/stage'
import { formatStatus, getRowGroup } from '@/app/ui/words/standing'
import { formatKitCode } from '@/lib/custody/kitCode'
import { isListed } from '@/lib/judgement/sampleGroup'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/messages/zoneName'
import type { Board } from '@/lib/store/read/board'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'
import { formatBandSummary } from './bandSummary'
import styles from './PlantBand.module.css'

/** One plant’s samples under its name, its local time and a summary of their groups. Days are the plant’s. */
export function PlantBand({ band, now }: { band: Board['bands'][number]; now: number }) {
  const t = useTranslate()
  const { plant, rows, ship } = band
  const groups = rows.filter(isListed).map((row) => getRowGroup(row, now))
  const line =
    ship &&
    formatShipLine(t, {
      advice: ship.advice,
      zone: plant.zone,
      now,
      isCut: false,
      serviceName: (code) => (code === null ? null : (ship.serviceNames[code] ?? code)),
    })
  const headingId = `plant-${plant.code}`
  return (
    <section className={styles.band} aria-labelledby={headingId}>
      <header className={styles.head}>
        <h2 id={headingId} className={styles.name}>
          <Link href={`/plants/${encodeURIComponent(plant.code)}`}>{plant.name}</Link>
        </h2>
        <p className={styles.note}>
          {formatBandSummary(t, groups)}
          {line && ` · ${line}`}
        </p>
        <p className={styles.time}>
          {formatDateTime(t, now, plant.zone, now)} {formatZone(plant.zone)}
        </p>
      </header>
      <SampleList rows={rows} zone={plant.zone} now={now} />
    </section>
  )
}

/** Samples one below the other; their uprights join into one. */
export function SampleList({
  rows,
  zone,
  now,
}: {
  rows: Board['bands'][number]['rows']
  zone: string
  now: number
}) {
  return (
    <ul className={styles.lines}>
      {rows.map((row) => (
        <SampleLine key={row.code} row={row} zone={zone} now={now} />
      ))}
    </ul>
  )
}

/** One sample of a list: its code and product, where it is, its hold strip, its standing and what to do. */
function SampleLine({ row, zone, now }: { row: JudgedRow; zone: string; now: number }) {
  const t = useTranslate()
  const text = formatStatus(t, row, zone, now)
  const act = formatRowAct(t, row, useViewer(), now)
  const group = getRowGroup(row, now)
  const isQuiet =
    !act?.isUrgent && (row.isSettled || row.replacedBy !== null || group === 'sound' || group === 'of no use')
  return (
    <li
      className={styles.line}
      data-standing={text.standing}
      data-group={group}
      data-quiet={isQuiet}
      data-settled={row.isSettled}
    >
      <div className={styles.sampleLineName}>
        <Link href={`/samples/${row.code}`} className={styles.code} data-sample>
          {formatKitCode(row.code)}
        </Link>{' '}
        <span className={styles.what}>{formatProduct(t, row)}</span>
      </div>
      <div className={styles.stage}>{formatWhereabouts(t, row, zone, now)}</div>
      <div className={styles.strip} data-empty={row.isSettled || row.binding === null}>
        {!row.isSettled && (
          <HoldStrip
            clock={row.binding}
            milestones={row.milestones}
            standing={text.standing}
            now={now}
            forecast={row.forecast}
            stopTimeZone={findStopTimeZone(row.binding, zone, row.laboratoryZone)}
          />
        )}
      </div>
      <div className={styles.say}>
        <span className={styles.lead}>{text.headline}</span>{' '}
        <span className={styles.more}>
          <StandingDetail text={text} isBrief={isQuiet} />
        </span>
        {act && (
          <span className={styles.act}>
            <ActLink act={act} />
          </span>
        )}
      </div>
    </li>
  )
}

/** The product and the lot of a sample, as far as they are known. */
function formatProduct(t: Translate, { product: code, productName, lot }: JudgedRow): string {
  const product = productName ?? code
  if (!lot) return product ?? t('board.sample.unknownProduct')
  return product ? t('board.sample.productAndLot', { product, lot }) : t('board.sample.lot', { lot })
}
