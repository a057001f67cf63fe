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
              {clock.limit.name === binding && <span className={styles.binds}>binds it now</span>}
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
      <figcaption className={styles.caption}>
        Each line is one clock, from its start to now (ring), to its stop (square) or to where the sample
        ended (cross); small bars are milestones; the dotted upright is each one’s limit. A hill shows when it
        is likely to stop; what lies of it past the limit is the chance to miss.
      </figcaption>
    </figure>
  )
}

/** How the strip of one clock is inked: the binding one as the sample stands, others by their own state. */
function getLineStanding(clock: Clock, row: SampleDossier['row'], now: number): Standing {
  const state = getClockState(clock, now)
  if (state === 'overrun' || state === 'lapsed') return 'lapsed'
  const isBinding = clock.limit.name === row.binding?.limit.name
  return isBinding && row.standing === 'at risk' ? 'at risk' : 'tight'
}
