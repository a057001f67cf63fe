import { Instant } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { stepWords } from '@/app/ui/words/laneWords'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from '../../../Lanes.module.css'

type Shipment = LanePage['shipments'][number]

/** Shipments of one lane, a line each: hand-over in the plant's time, receipt in the laboratory's. */
export function ShipmentTable({
  shipments,
  page: { plant, laboratory, asOf },
  caption,
}: {
  shipments: readonly Shipment[]
  page: LanePage
  caption: string
}) {
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
            <td>{fateWords(shipment)}</td>
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

function fateWords({ fate, steps }: Shipment): string {
  if (fate === 'arrived') return steps === null ? 'arrived' : stepWords(steps)
  if (fate === 'under way')
    return steps === null || steps === 0 ? 'under way' : `under way, ${stepWords(steps)} so far`
  if (fate === 'out of order') return 'received before it was handed over: not counted'
  return fate === 'not reported' ? 'receipt not reported: not counted' : fate
}
