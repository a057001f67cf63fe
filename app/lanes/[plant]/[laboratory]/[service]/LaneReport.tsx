import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { formatLongInstant } from '@/app/ui/words/instant'
import {
  formatPercent,
  formatShipmentCount,
  formatSteps,
  formatTransitSummary,
} from '@/app/ui/words/laneText'
import { spellNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from '../../../Lanes.module.css'
import { PaceStatus } from '../../../PaceStatus'
import { TransitFigure, TransitTable } from '../../../TransitFigure'
import { PaceSection } from './PaceSection'

/** One lane: how long it takes, whether it keeps its pace, and what was sent by it last. */
export function LaneReport({ page }: { page: LanePage }) {
  const t = useTranslate()
  const { asOf, plant, laboratory, service, figures, shipments, presumedLost, presumedLostSteps } = page
  const { curve, pace } = figures
  return (
    <>
      <p className={styles.when}>
        <Link href="/lanes">Lanes</Link>, as of {formatLongInstant(t, asOf, plant.zone, asOf)}
      </p>
      <h1 className={styles.heading}>
        {plant.name} to {laboratory.name}
        <span className={styles.by}>
          {service ? `by ${service.name}` : 'by a service that nothing names'}
        </span>
      </h1>
      <p className={styles.lead}>
        {curve ? formatTransitSummary(t, curve) : 'Nothing has arrived on this lane yet.'}{' '}
        {pace.change && (
          <>
            <PaceStatus figures={figures} zone={plant.zone} now={asOf} />.
          </>
        )}
      </p>
      <h2>How long it takes</h2>
      {curve && (
        <>
          <TransitFigure curve={curve} />
          <p className={styles.axis}>
            Open days of {laboratory.name} after the day of hand-over; 0 is that day. The line is the
            estimated share that has arrived when the day is over, the band holds it with a chance of 90 %.
          </p>
        </>
      )}
      <p className="prose">{formatEvidence(t, page)}</p>
      {curve && (
        <details>
          <summary>The same as a table</summary>
          <div className={table.scroll}>
            <TransitTable curve={curve} className={`${table.table} ${table.narrow}`} />
          </div>
        </details>
      )}
      <PaceSection page={page} />
      {presumedLost.length > 0 && (
        <>
          <h2>Presumed lost</h2>
          <p className="prose">
            Under way for more than {presumedLostSteps} open days, with nothing later. They count as never
            arriving until someone rules on them: record each as lost, or report what came of it.
          </p>
          <ShipmentTable shipments={presumedLost} page={page} caption="Presumed lost" />
        </>
      )}
      <h2>What was sent last</h2>
      <ShipmentTable shipments={shipments} page={page} caption="The last shipments, newest first" />
    </>
  )
}

/** What the estimate rests on; of others only how much is borrowed. */
function formatEvidence(t: Translate, { figures }: LanePage): string {
  const { counts, borrowedShare, halfLifeDays } = figures
  const [all, underWay, never] = [counts.all, counts.underWay, counts.never].map(Math.round)
  const lost =
    never === 0
      ? 'none'
      : `${spellNumber(t, never as number)} (${formatPercent(t, counts.never / counts.all)})`
  const rests = `It rests on ${formatShipmentCount(t, all as number)} ${all === 1 ? 'shipment' : 'shipments'}: under way now ${underWay === 0 ? 'none' : spellNumber(t, underWay as number)}, never arrived ${lost}.`
  const borrowed =
    borrowedShare === null
      ? 'Nothing is borrowed from other lanes: fewer than three other makers send by this service.'
      : borrowedShare > 0.995
        ? 'Nearly all of the estimate is borrowed from other lanes, since this one has hardly a record.'
        : `${capitalised(formatPercent(t, borrowedShare))} of the estimate is borrowed from the other lanes of the service and of the programme, taken together.`
  const fading =
    halfLifeDays === null
      ? ''
      : ` What was sent ${Math.round(halfLifeDays)} days ago counts half in the line, and in full in the counts under it.`
  return `${rests} ${borrowed}${fading}`
}

type Shipment = LanePage['shipments'][number]

/** Shipments of one lane, a line each: hand-over in the plant's time, receipt in the laboratory's. */
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
          <th scope="col">Handed over</th>
          <th scope="col">Received</th>
          <th scope="col">Took</th>
          <th scope="col">Samples</th>
        </tr>
      </thead>
      <tbody>
        {shipments.map((shipment) => (
          <tr key={shipment.codes.join()}>
            <th scope="row">
              <Instant at={shipment.dispatchedAt} zone={plant.zone} now={asOf} />
            </th>
            <td data-head="received">
              {shipment.receivedAt === null ? (
                'not yet'
              ) : (
                <Instant at={shipment.receivedAt} zone={laboratory.zone} now={asOf} />
              )}
            </td>
            <td>{formatFate(t, shipment)}</td>
            <td className={styles.codes}>
              {shipment.codes.map((code) => (
                <SampleLink key={code} code={code} />
              ))}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function formatFate(t: Translate, { fate, steps }: Shipment): string {
  if (fate === 'arrived') return steps === null ? 'arrived' : formatSteps(t, steps)
  if (fate === 'under way')
    return steps === null || steps === 0 ? 'under way' : `under way, ${formatSteps(t, steps)} so far`
  if (fate === 'out of order') return 'received before it was handed over: not counted'
  return fate === 'not reported' ? 'receipt not reported: not counted' : fate
}
