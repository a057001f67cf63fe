import { Link } from '@/app/ui/Link'
import table from '@/app/ui/Table.module.css'
import { percentWords, shipmentCount, slowWords, stepCell } from '@/app/ui/words/laneWords'
import type { LaneList } from '@/lib/store/read/lanes/laneList'
import { ArrivalBars } from './ArrivalBars'
import styles from './Lanes.module.css'
import { laneHref } from './laneAddress'
import { PaceWords } from './PaceWords'

type Line = LaneList['lanes'][number]

/** A line for each lane. */
export function LaneTable({ lanes, asOf }: { lanes: readonly Line[]; asOf: number }) {
  return (
    <table className={`${table.table} ${styles.lanes} ${styles.list}`}>
      <caption>
        Those that became slower in the last three months first, then those whose latest weeks break a rule on
        the slow side, then by the share that never arrived.
      </caption>
      <thead>
        <tr>
          <th scope="col">Lane</th>
          <th scope="col">Pace</th>
          <th scope="col" className={table.number}>
            Half within
          </th>
          <th scope="col" className={table.number}>
            Nine of ten within
          </th>
          <th scope="col">
            <span className="unseen">On which open day they arrive, as a picture</span>
          </th>
          <th scope="col" className={table.number}>
            Never arrived
          </th>
          <th scope="col" className={table.number}>
            Shipments
          </th>
        </tr>
      </thead>
      <tbody>
        {lanes.map((lane) => (
          <LaneRow key={laneHref(lane)} lane={lane} asOf={asOf} />
        ))}
      </tbody>
    </table>
  )
}

function LaneRow({ lane, asOf }: { lane: Line; asOf: number }) {
  const { plant, laboratory, service, figures } = lane
  const { curve, counts, slowBreaks, borrowedShare } = figures
  return (
    <tr>
      <th scope="row">
        <Link href={laneHref(lane)}>
          {plant.name} to {laboratory.name}
        </Link>
        <span className={table.quiet}>{service?.name ?? 'no service named'}</span>
      </th>
      <td className={styles.pace}>
        <PaceWords figures={figures} zone={plant.zone} now={asOf} />
        {slowBreaks.length > 0 && (
          <span className={styles.slow}>of late {slowBreaks.map(slowWords).join('; ')}</span>
        )}
      </td>
      <td className={table.number} data-head="half within">
        {curve ? stepCell(curve.halfWithin) : 'none arrived yet'}
      </td>
      <td className={table.number} data-head="nine of ten within">
        {curve ? stepCell(curve.ninetiethWithin) : ''}
      </td>
      <td className={styles.bars}>{curve && <ArrivalBars curve={curve} />}</td>
      <td className={table.number} data-head="never arrived">
        {counts.never > 0 ? percentWords(counts.never / counts.all) : 'none'}
      </td>
      <td className={table.number} data-head="shipments">
        {shipmentCount(counts.all)}
        {borrowedShare !== null && borrowedShare > 0.5 && (
          <span className={table.quiet}>times mostly from other lanes</span>
        )}
      </td>
    </tr>
  )
}
