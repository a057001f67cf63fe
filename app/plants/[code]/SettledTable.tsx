import { useTranslate } from '#translate'
import { Day } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import styles from '@/app/ui/Table.module.css'
import { formatStage, type Stage } from '@/app/ui/words/clock'
import { formatTableDuration } from '@/app/ui/words/duration'
import { formatStatus } from '@/app/ui/words/standing'
import { HOUR } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import own from './SettledTable.module.css'

/** The stages whose length is shown: from one milestone to the next that people wait for. */
const STAGES: readonly Stage[] = [
  { from: 'issued', to: 'collected' },
  { from: 'collected', to: 'dispatched' },
  { from: 'dispatched', to: 'received' },
  { from: 'received', to: 'loaded' },
  { from: 'loaded', to: 'reported' },
]

/** Settled samples in the order given, with the length of each of their stages. Days are those of `zone`. */
export function SettledTable({
  rows,
  caption,
  zone,
  now,
}: {
  rows: SampleRow[]
  caption: string
  zone: string
  now: number
}) {
  const t = useTranslate()
  const stages = STAGES.filter((stage) => rows.some((row) => formatStageDuration(t, row, stage) !== ''))
  return (
    <div className={styles.scroll}>
      <table className={`${styles.table} ${styles.stack} ${own.settled}`}>
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">{t('plants.settled.sample')}</th>
            <th scope="col">{t('plants.settled.standing')}</th>
            <th scope="col">{t('plants.settled.settledAt')}</th>
            {stages.map((stage) => (
              <th key={formatStage(t, stage)} scope="col" className={styles.number}>
                {formatStage(t, stage)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.code}>
              <th scope="row">
                <SampleLink code={row.code} />
                <span className={styles.quiet}>{formatProduct(t, row)}</span>
              </th>
              <td>
                <SettledStanding row={row} zone={zone} now={now} />
              </td>
              <td className="whole" data-head={t('plants.settled.settledAtBeside')}>
                {row.settledAt !== null && <Day at={row.settledAt} zone={zone} now={now} />}
              </td>
              {stages.map((stage) => (
                <td
                  key={formatStage(t, stage)}
                  className={`${styles.number} ${own.stage}`}
                  data-head={formatStage(t, stage)}
                >
                  {formatStageDuration(t, row, stage)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

function SettledStanding({ row, zone, now }: { row: SampleRow; zone: string; now: number }) {
  const t = useTranslate()
  const { headline, limit, found } = formatStatus(t, row, zone, now)
  return (
    <span className={row.standing === 'lapsed' ? styles.lapsed : undefined}>
      {headline}
      {(found ?? limit) && <i className={styles.quiet}>{found ?? limit}</i>}
    </span>
  )
}

function formatStageDuration(t: Translate, row: SampleRow, { from, to }: Stage): string {
  const at = (name: string) =>
    name === 'issued' ? row.issuedAt : row.milestones.find(({ milestone }) => milestone === name)?.at
  const [start, end] = [at(from), at(to)]
  if (start === undefined || end === undefined) return ''
  return end < start ? t('samples.event.flag.outOfOrder') : formatTableDuration(t, (end - start) / HOUR)
}

function formatProduct(t: Translate, { productName, product, lot }: SampleRow): string {
  const name = productName ?? product
  return t('record.sample.product', {
    product: name === null ? 'unknown' : 'known',
    name: name ?? '',
    hasLot: lot ? 'yes' : 'no',
    lot: lot ?? '',
  })
}
