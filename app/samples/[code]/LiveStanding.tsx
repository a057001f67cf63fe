'use client'
import { useTranslate } from '#translate'

import { Deadline } from '@/app/ui/Instant'
import { StandingDetail } from '@/app/ui/StandingDetail'
import { useServerNow } from '@/app/ui/useServerNow'
import { useViewer } from '@/app/ui/ViewerProvider'
import { formatClock } from '@/app/ui/words/clock'
import { formatWhereabouts } from '@/app/ui/words/stage'
import { formatStanding } from '@/app/ui/words/standing'
import { formatKitCode } from '@/lib/custody/kitCode'
import { type Clock, getClockState } from '@/lib/hold/clock'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import styles from './LiveStanding.module.css'

/**
 * The heading of a sample: how it stands, by which limit, due when, and what to do, its time left ticking on. Days
 * are those of the plant, the first of `zones`; a due is told in each of them. `reason`: why it ended early.
 */
export function LiveStanding({
  row,
  clocks,
  zones,
  reason,
  asOf,
}: {
  row: SampleRow
  clocks: readonly Clock[]
  zones: readonly [plant: string, laboratory: string]
  reason: string | null
  asOf: number
}) {
  const t = useTranslate()
  const now = useServerNow(asOf)
  const words = formatStanding(t, row, zones[0], now, useViewer())
  const clock = clocks.find(({ limit }) => limit.name === words.limit)
  return (
    <div className={styles.standing} data-standing={words.standing} data-settled={row.isSettled}>
      <h1>
        <span className={styles.code}>{formatKitCode(row.code)}</span>
        <span className="unseen">: </span>
        <span className={styles.lead}>{words.headline}</span>
      </h1>
      <p className={styles.detail}>
        {words.limit && 'by its limit '}
        <StandingDetail words={words} />
      </p>
      {row.standing === 'unproven' &&
        clocks.filter(isUnproven).map((one) => (
          <p key={one.limit.name}>
            <i>{one.limit.name}</i>: {formatClock(t, one, now).replace('unproven: ', '')}
          </p>
        ))}
      {clock && clock.dueAt !== null && (
        <Due at={clock.dueAt} isExtended={clock.firstDueAt !== null} zones={zones} now={asOf} />
      )}
      {row.ending === null ? (
        <p className={styles.stage}>
          {row.isSettled ? 'Last known' : 'Now'}: {formatWhereabouts(t, row, zones[0], now)}.
        </p>
      ) : (
        reason && (
          <p>
            {capitalised(row.ending)}: {reason}.
          </p>
        )
      )}
    </div>
  )
}

/** When a limit ends, at the plant and at the laboratory. */
function Due({
  at,
  isExtended,
  zones,
  now,
}: {
  at: number
  isExtended: boolean
  zones: readonly string[]
  now: number
}) {
  return (
    <p>
      Due{' '}
      {[...new Set(zones)].map((zone, index) => (
        <span key={zone}>
          {index > 0 && ', which is '}
          <Deadline at={at} zone={zone} now={now} />
        </span>
      ))}
      {isExtended && ', by extension'}.
    </p>
  )
}

/** A clock that keeps a settled sample from being proven. */
function isUnproven(clock: Clock): boolean {
  const state = getClockState(clock, Number.POSITIVE_INFINITY)
  return state === 'unproven' || state === 'overrun'
}
