import { HOUR } from '@/lib/hold/zone'
import type { PlantPage, SampleRow } from '@/lib/store'
import { tableDuration } from '../words/durationWords'
import { type Stage, stageName } from '../words/stageNames'
import { howItStands } from '../words/standingWords'
import { Day } from './Instant'
import { SampleLink } from './SampleLink'
import styles from './Table.module.css'

/** The stages of a sample's way whose length is told: from one milestone to the next that people wait for. */
const STAGES: readonly Stage[] = [
  { from: 'issued', to: 'collected' },
  { from: 'collected', to: 'dispatched' },
  { from: 'dispatched', to: 'received' },
  { from: 'received', to: 'loaded' },
  { from: 'loaded', to: 'reported' },
]

/** A plant's settled samples, newest first, with how long each stage of theirs took. Days are the plant's. */
export function SettledTable({ page, now }: { page: PlantPage; now: number }) {
  const { settled, settledTotal, plant } = page
  const stages = STAGES.filter((stage) => settled.some((row) => stageTime(row, stage) !== ''))
  const shown =
    settled.length < settledTotal
      ? `the last ${settled.length} of ${settledTotal.toLocaleString('en-GB')}`
      : `all ${settledTotal}`
  return (
    <div className={styles.scroll}>
      <table className={styles.table}>
        <caption>
          Settled samples, {settledTotal === 1 ? 'the only one' : shown}, with how long each stage took
        </caption>
        <thead>
          <tr>
            <th scope="col">Sample</th>
            <th scope="col">How it ended</th>
            <th scope="col">Settled</th>
            {stages.map((stage) => (
              <th key={stageName(stage)} scope="col" className={styles.number}>
                {stageName(stage)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {settled.map((row) => (
            <tr key={row.code}>
              <th scope="row">
                <SampleLink code={row.code} />
                <span className={styles.quiet}>
                  {[row.productName ?? row.product, row.lot && `lot ${row.lot}`].filter(Boolean).join(', ')}
                </span>
              </th>
              <td>
                <Ended row={row} zone={plant.zone} now={now} />
              </td>
              <td className="whole">
                {row.settledAt !== null && <Day at={row.settledAt} zone={plant.zone} now={now} />}
              </td>
              {stages.map((stage) => (
                <td key={stageName(stage)} className={styles.number}>
                  {stageTime(row, stage)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

function Ended({ row, zone, now }: { row: SampleRow; zone: string; now: number }) {
  const { lead, limit } = howItStands(row, zone, now)
  return (
    <span className={row.standing === 'lapsed' ? styles.lapsed : undefined}>
      {lead}
      {limit && <i className={styles.quiet}>{limit}</i>}
    </span>
  )
}

function stageTime(row: SampleRow, { from, to }: Stage): string {
  const at = (name: string) =>
    name === 'issued' ? row.issuedAt : row.milestones.find(({ milestone }) => milestone === name)?.at
  const [start, end] = [at(from), at(to)]
  if (start === undefined || end === undefined) return ''
  return end < start ? 'out of order' : tableDuration((end - start) / HOUR)
}
