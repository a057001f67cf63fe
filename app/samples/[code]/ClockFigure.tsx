'use client'

import { useTranslate } from '#translate'
import { HoldStrip } from '@/app/ui/HoldStrip'
import { StripAxis } from '@/app/ui/StripAxis'
import { findStopTimeZone } from '@/app/ui/strip'
import { useServerNow } from '@/app/ui/useServerNow'
import { formatClock } from '@/app/ui/words/clock'
import { type Clock, getClockState } from '@/lib/hold/clock'
import type { Standing } from '@/lib/hold/standing'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './ClockFigure.module.css'

/** Every clock of a sample as a strip on one axis, the binding one large. */
export function ClockFigure({
  row,
  clocks,
  forecasts,
  zones,
  asOf,
}: {
  row: SampleDossier['row']
  clocks: Clock[]
  forecasts: SampleDossier['forecasts']
  zones: { plant: string; laboratory: string }
  asOf: number
}) {
  const t = useTranslate()
  const now = useServerNow(asOf)
  const binding = row.binding?.limit.name
  return (
    <figure className={styles.figure}>
      <div className={styles.top}>
        <div className={styles.axis}>
          <StripAxis />
        </div>
      </div>
      <ul className={styles.lines}>
        {clocks.map((clock) => (
          <li key={clock.limit.name} className={styles.line} data-binding={clock.limit.name === binding}>
            <div>
              <i>{clock.limit.name}</i>
              {clock.limit.name === binding && (
                <span className={styles.binds}>{t('samples.figure.governing')}</span>
              )}
            </div>
            <div className={styles.strip}>
              <HoldStrip
                clock={clock.isNotReported && clock.stoppedAt === null ? null : clock}
                milestones={row.milestones}
                standing={getLineStanding(clock, row, now)}
                now={now}
                endedAt={row.settledAt}
                forecast={forecasts.find(({ limit }) => limit === clock.limit.name) ?? null}
                stopTimeZone={findStopTimeZone(clock, zones.plant, zones.laboratory)}
              />
            </div>
            <div className={styles.say}>{formatClock(t, clock, now)}</div>
          </li>
        ))}
      </ul>
      <figcaption className={styles.caption}>{t('samples.figure.caption')}</figcaption>
    </figure>
  )
}

/** The ink of a clock's strip: the binding clock shows the sample's standing, others their own state. */
function getLineStanding(clock: Clock, row: SampleDossier['row'], now: number): Standing {
  const state = getClockState(clock, now)
  if (state === 'overrun' || state === 'lapsed') return 'lapsed'
  const isBinding = clock.limit.name === row.binding?.limit.name
  return isBinding && row.standing === 'at risk' ? 'at risk' : 'tight'
}
