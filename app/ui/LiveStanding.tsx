'use client'

import { displayCode } from '@/lib/custody/kitCode'
import type { SampleRow } from '@/lib/store'
import { stageWords } from '../words/stageWords'
import { standingWords } from '../words/standingWords'
import styles from './LiveStanding.module.css'
import { StandingDetail } from './StandingDetail'
import { useServerNow } from './useServerNow'

/** The heading of a sample: how it stands and what to do, its time left ticking on. Days are those of `zone`. */
export function LiveStanding({ row, zone, asOf }: { row: SampleRow; zone: string; asOf: number }) {
  const now = useServerNow(asOf)
  const words = standingWords(row, zone, now)
  return (
    <div className={styles.standing} data-standing={words.standing} data-settled={row.isSettled}>
      <h1>
        <span className={styles.code}>{displayCode(row.code)}</span>
        <span className="unseen">: </span>
        <span className={styles.lead}>{words.lead}</span>
      </h1>
      <p className={styles.detail}>
        <StandingDetail words={words} />
      </p>
      {row.ending === null && (
        <p className={styles.stage}>
          {row.isSettled ? 'Last known' : 'Now'}: {stageWords(row, zone, now)}.
        </p>
      )}
    </div>
  )
}
