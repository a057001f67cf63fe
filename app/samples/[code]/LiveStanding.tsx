'use client'

import { useRouter } from 'next/navigation'
import { type ReactNode, useCallback } from 'react'
import { useTranslate } from '#translate'
import { Deadline } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { StandingDetail } from '@/app/ui/StandingDetail'
import { useRereadOnceOver } from '@/app/ui/useRereadOnceOver'
import { useServerNow } from '@/app/ui/useServerNow'
import { formatWhereabouts } from '@/app/ui/words/stage'
import { formatStatus, getRowGroup } from '@/app/ui/words/standing'
import { formatKitCode } from '@/lib/custody/kitCode'
import { type Clock, getClockState } from '@/lib/hold/clock'
import { getOffset } from '@/lib/hold/zone'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'
import styles from './LiveStanding.module.css'

/**
 * The heading of a sample: how it stands, by which limit, due when, and what was found; the time left ticks on. Days are those
 * of the plant, the first of `zones`; a due is shown in each zone. `reason`: why the sample ended early.
 */
export function LiveStanding({
  row,
  clocks,
  zones,
  reason,
  asOf,
}: {
  row: JudgedRow
  clocks: readonly Clock[]
  zones: readonly [plant: string, laboratory: string]
  reason: string | null
  asOf: number
}) {
  const t = useTranslate()
  const now = useServerNow(asOf)
  const router = useRouter()
  useRereadOnceOver(
    [row],
    now,
    useCallback(() => router.refresh(), [router]),
  )
  const text = formatStatus(t, row, zones[0], now)
  const clock = clocks.find(({ limit }) => limit.name === text.limit)
  const whereabouts = formatWhereabouts(t, row, zones[0], now)
  return (
    <div
      className={styles.standing}
      data-standing={text.standing}
      data-group={getRowGroup(row, now)}
      data-settled={row.isSettled}
    >
      <h1>
        <span className={styles.code}>{formatKitCode(row.code)}</span>
        <span className="unseen">: </span>
        <span className={styles.headline}>{text.headline}</span>
      </h1>
      <p className={styles.detail}>
        {rich(t, 'samples.standing.detail', {
          hasLimit: text.limit === null ? 'no' : 'yes',
          detail: <StandingDetail text={{ ...text, restraint: null }} />,
        })}
      </p>
      {row.standing === 'unproven' &&
        clocks.filter(isOpenQuestion).map((one) => (
          <p key={one.limit.name}>
            {rich(t, 'samples.standing.unproven', {
              name: one.limit.name,
              limit: (inside: ReactNode) => <i>{inside}</i>,
              why: findGap(one),
            })}
          </p>
        ))}
      {row.standing === 'unproven' && clocks.length === 0 && <p>{t('samples.standing.noLimit')}</p>}
      {clock && clock.dueAt !== null && (
        <Due at={clock.dueAt} isExtended={clock.firstDueAt !== null} zones={zones} now={asOf} />
      )}
      {row.ending === null ? (
        <p className={styles.stage}>
          {t(row.isSettled ? 'samples.standing.lastKnown' : 'samples.standing.now', { whereabouts })}
        </p>
      ) : (
        reason && <p>{t('samples.standing.ended', { ending: row.ending, reason })}</p>
      )}
    </div>
  )
}

/** When a limit ends, at the plant, and at the laboratory if its clocks differ then. */
function Due({
  at,
  isExtended,
  zones,
  now,
}: {
  at: number
  isExtended: boolean
  zones: readonly [plant: string, laboratory: string]
  now: number
}) {
  const t = useTranslate()
  const [plant, laboratory] = zones
  const values = {
    isExtended: isExtended ? 'yes' : 'no',
    due: <Deadline at={at} zone={plant} now={now} />,
  } as const
  return (
    <p>
      {getOffset(at, plant) === getOffset(at, laboratory)
        ? rich(t, 'samples.standing.due', values)
        : rich(t, 'samples.standing.dueTwice', {
            ...values,
            other: <Deadline at={at} zone={laboratory} now={now} />,
          })}
    </p>
  )
}

/** Whether a clock keeps a settled sample from being kept, though it did not lapse. */
function isOpenQuestion(clock: Clock): boolean {
  return getClockState(clock, Number.POSITIVE_INFINITY) !== 'kept'
}

/** What such a clock lacks. */
function findGap(clock: Clock) {
  if (clock.startedAt === null) return 'noStart'
  if (clock.stoppedAt === null) return 'noStop'
  return getClockState(clock, Number.POSITIVE_INFINITY) === 'early' ? 'early' : 'order'
}
