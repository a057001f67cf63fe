import { Fragment } from 'react'
import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { formatPercent } from '@/app/ui/words/chance'
import { formatLongInstant } from '@/app/ui/words/instant'
import { formatSteps, formatTransitSummary } from '@/app/ui/words/lane'
import type { Translate } from '@/lib/messages/translate'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from '../../../Lanes.module.css'
import { PaceStatus } from '../../../PaceStatus'
import { TransitFigure, TransitTable } from '../../../TransitFigure'
import { PaceSection } from './PaceSection'

/** One lane: how long it takes, whether it keeps its pace, and its latest shipments. */
export function LaneReport({ page }: { page: LanePage }) {
  const t = useTranslate()
  const { asOf, plant, laboratory, service, figures, shipments, presumedLost, presumedLostSteps } = page
  const { curve, pace } = figures
  return (
    <>
      <p className={styles.when}>
        {rich(t, 'lanes.one.asOf', {
          link: (text) => <Link href="/lanes">{text}</Link>,
          time: formatLongInstant(t, asOf, plant.zone, asOf),
        })}
      </p>
      <h1 className={styles.heading}>
        {t('lanes.name', { plant: plant.name, laboratory: laboratory.name })}
        <span className={styles.by}>
          {service ? t('lanes.one.by', { service: service.name }) : t('lanes.one.byUnnamed')}
        </span>
      </h1>
      <p className={styles.lead}>
        {curve ? formatTransitSummary(t, curve) : t('lanes.summary.none')}{' '}
        {pace.change && <PaceStatus figures={figures} zone={plant.zone} now={asOf} />}
      </p>
      <h2>{t('lanes.time.heading')}</h2>
      {curve && (
        <>
          <TransitFigure curve={curve} />
          <p className={styles.axis}>{t('lanes.time.axis', { laboratory: laboratory.name })}</p>
        </>
      )}
      <p className="prose">{formatEvidence(t, page)}</p>
      {curve && (
        <details>
          <summary>{t('lanes.time.table')}</summary>
          <div className={table.scroll}>
            <TransitTable curve={curve} className={`${table.table} ${table.narrow}`} />
          </div>
        </details>
      )}
      <PaceSection page={page} />
      {presumedLost.length > 0 && (
        <>
          <h2>{t('lanes.lost.heading')}</h2>
          <p className="prose">{t('lanes.lost.about', { days: presumedLostSteps })}</p>
          <ShipmentTable shipments={presumedLost} page={page} caption={t('lanes.lost.heading')} />
        </>
      )}
      <h2>{t('lanes.shipments.heading')}</h2>
      <ShipmentTable shipments={shipments} page={page} caption={t('lanes.shipments.caption')} />
    </>
  )
}

/** What the estimate rests on: own shipments, how much comes from other lanes, and how the past fades. */
function formatEvidence(t: Translate, { figures }: LanePage): string {
  const { counts, borrowedShare, halfLifeDays } = figures
  const [all, underWay, never] = [counts.all, counts.underWay, counts.never].map(Math.round) as [
    number,
    number,
    number,
  ]
  const sentences = [
    never === 0
      ? t('lanes.time.countsNoneLost', { all, underWay })
      : t('lanes.time.counts', {
          all,
          underWay,
          never,
          share: formatPercent(t, counts.never / counts.all),
        }),
    formatBorrowing(t, borrowedShare),
  ]
  if (halfLifeDays !== null) sentences.push(t('lanes.time.fading', { days: Math.round(halfLifeDays) }))
  return sentences.join(' ')
}

function formatBorrowing(t: Translate, share: number | null): string {
  if (share === null) return t('lanes.time.ownOnly')
  if (share > 0.995) return t('lanes.time.nearlyAllBorrowed')
  return t('lanes.time.borrowed', { share: formatPercent(t, share) })
}

type Shipment = LanePage['shipments'][number]

/** Hand-over in the plant's time, receipt in the laboratory's. */
function ShipmentTable({
  shipments,
  page: { plant, laboratory, asOf },
  caption,
}: {
  shipments: readonly Shipment[]
  page: LanePage
  caption: string
}) {
  const t = useTranslate()
  return (
    <table className={`${table.table} ${table.stack} ${styles.lanes}`}>
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">{t('lanes.shipments.handedOver')}</th>
          <th scope="col">{t('lanes.shipments.received')}</th>
          <th scope="col">{t('lanes.shipments.took')}</th>
          <th scope="col">{t('lanes.shipments.samples')}</th>
        </tr>
      </thead>
      <tbody>
        {shipments.map((shipment) => (
          <tr key={shipment.codes.join()}>
            <th scope="row">
              <Instant at={shipment.dispatchedAt} zone={plant.zone} now={asOf} />
            </th>
            <td data-head={t('lanes.shipments.received')}>
              {shipment.receivedAt === null ? (
                t('lanes.shipments.notYet')
              ) : (
                <Instant at={shipment.receivedAt} zone={laboratory.zone} now={asOf} />
              )}
            </td>
            <td>{formatOutcome(t, shipment)}</td>
            <td className={styles.codes}>
              {shipment.codes.map((code, place) => (
                <Fragment key={code}>
                  {/* A space, so that many codes wrap and a copied row keeps them apart. */}
                  {place > 0 && ' '}
                  <SampleLink code={code} />
                </Fragment>
              ))}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function formatOutcome(t: Translate, { outcome, steps }: Shipment): string {
  switch (outcome) {
    case 'arrived':
      return steps === null ? t('lanes.outcome.arrived') : formatSteps(t, steps)
    case 'under way':
      return t('lanes.outcome.underWay', { steps: steps ?? 0 })
    case 'never arrived':
      return t('lanes.outcome.neverArrived')
    case 'presumed lost':
      return t('lanes.outcome.presumedLost')
    case 'out of order':
      return t('lanes.outcome.outOfOrder')
    case 'not reported':
      return t('lanes.outcome.notReported')
  }
}
