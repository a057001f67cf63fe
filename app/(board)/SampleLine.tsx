import { HoldStrip } from '@/app/ui/HoldStrip'
import { Link } from '@/app/ui/Link'
import { StandingDetail } from '@/app/ui/StandingDetail'
import { stopZone } from '@/app/ui/stopZone'
import { useReader } from '@/app/ui/WhoReads'
import { stageWords } from '@/app/ui/words/stageWords'
import { standingWords } from '@/app/ui/words/standingWords'
import { displayCode } from '@/lib/custody/kitCode'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import styles from './SampleLine.module.css'

/** One sample of a list: its code and product, where it is, its hold strip, how it stands and what to do. */
export function SampleLine({ row, zone, now }: { row: SampleRow; zone: string; now: number }) {
  const words = standingWords(row, zone, now, useReader())
  const isQuiet =
    row.isSettled || row.replacedBy !== null || (words.standing === 'sound' && words.action === null)
  const what = [row.productName ?? row.product, row.lot && `lot ${row.lot}`].filter(Boolean).join(', ')
  return (
    <li
      className={styles.line}
      data-standing={words.standing}
      data-quiet={isQuiet}
      data-settled={row.isSettled}
    >
      <div className={styles.name}>
        <Link href={`/samples/${row.code}`} className={styles.code} data-sample>
          {displayCode(row.code)}
        </Link>{' '}
        <span className={styles.what}>{what || 'product not yet known'}</span>
      </div>
      <div className={styles.stage}>{stageWords(row, zone, now)}</div>
      <div className={styles.strip} data-empty={row.isSettled || row.binding === null}>
        {!row.isSettled && (
          <HoldStrip
            clock={row.binding}
            milestones={row.milestones}
            standing={words.standing}
            now={now}
            forecast={row.forecast}
            stopZone={stopZone(row.binding, zone, row.laboratoryZone)}
          />
        )}
      </div>
      <div className={styles.say}>
        <span className={styles.lead}>{words.lead}</span>{' '}
        <span className={styles.more}>
          <StandingDetail words={words} isBrief={isQuiet} />
        </span>
      </div>
    </li>
  )
}
