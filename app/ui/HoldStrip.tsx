import type { Clock } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import type { Standing } from '@/lib/hold/standing'
import type { SampleForecast } from '@/lib/store/projection/storedForecast'
import { computeDensityPath } from './densityPath'
import styles from './HoldStrip.module.css'
import { computeStrip, type Strip } from './strip'
import { LIMIT_X } from './timeLeftScale'

const toPercent = (share: number) => `${(share * 100).toFixed(2)}%`

/**
 * The hold strip of one clock: a line from its start to now, small bars for milestones, the limit as an upright
 * in the same place for every sample, and above it the density of its likely stop. It fills its parent, and is
 * hidden from screen readers because the text beside it says the same.
 */
export function HoldStrip({
  clock,
  milestones,
  standing,
  now,
  endedAt = null,
  forecast = null,
  stopTimeZone = 'UTC',
}: {
  clock: Clock | null
  milestones: readonly { milestone: Milestone; at: number }[]
  standing: Standing
  now: number
  endedAt?: number | null
  /** The forecast of this clock; drawn while it runs. */
  forecast?: Pick<SampleForecast, 'risk' | 'days'> | null
  /** IANA zone of the days in which its stop is forecast. */
  stopTimeZone?: string
}) {
  const strip = clock && computeStrip(clock, milestones, now, endedAt)
  return (
    <svg className={styles.strip} data-standing={standing} aria-hidden="true" focusable="false">
      <line className={styles.upright} x1={toPercent(LIMIT_X)} x2={toPercent(LIMIT_X)} y1="0" y2="100%" />
      {strip && (
        <>
          {forecast && !strip.isOver && (
            <DensityShape forecast={forecast} dueAt={clock.dueAt} zone={stopTimeZone} now={now} />
          )}
          {strip.end < LIMIT_X && (
            <line
              className={styles.ahead}
              x1={toPercent(strip.end)}
              x2={toPercent(LIMIT_X)}
              y1="50%"
              y2="50%"
            />
          )}
          <line
            className={styles.spent}
            x1={toPercent(strip.start)}
            x2={toPercent(Math.min(strip.end, LIMIT_X))}
            y1="50%"
            y2="50%"
          />
          {strip.end > LIMIT_X && (
            <line
              className={styles.over}
              x1={toPercent(LIMIT_X)}
              x2={toPercent(strip.end)}
              y1="50%"
              y2="50%"
            />
          )}
          {strip.truncatedStart === 'torn' && (
            <At place={strip.start}>
              <path className={styles.torn} d="M1 -6l-4 4l5 3l-4 5" />
            </At>
          )}
          {strip.marks.map(({ milestone, place }) => (
            <At key={milestone} place={place}>
              <line className={styles.mark} y1="-6" y2="6" />
            </At>
          ))}
          <At place={strip.end}>
            <End strip={strip} />
            {strip.isBeyond && <path className={styles.onward} d="M7.5 -4l4 4l-4 4" />}
            {strip.truncatedStart === 'pointer' && <path className={styles.earlier} d="M-7.5 -4l-4 4l4 4" />}
          </At>
        </>
      )}
    </svg>
  )
}

/**
 * The density above the line: the part before the limit in blue, the part past it, which is the risk, in brick.
 */
function DensityShape({
  forecast,
  dueAt,
  zone,
  now,
}: {
  forecast: Pick<SampleForecast, 'risk' | 'days'>
  dueAt: number | null
  zone: string
  now: number
}) {
  if (dueAt === null) return null
  const path = computeDensityPath(forecast, dueAt, zone, now)
  return (
    <svg
      x="0"
      y="8%"
      width="100%"
      height="42%"
      viewBox="0 0 1000 100"
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      {path.kept && <path className={styles.likely} d={path.kept} />}
      {path.missed && <path className={styles.risk} d={path.missed} />}
    </svg>
  )
}

/** A ring for now, a square for a stop, a cross where the sample ended. */
function End({ strip }: { strip: Strip }) {
  if (strip.endKind === 'now') return <circle className={styles.now} r="4.5" />
  if (strip.endKind === 'ended') return <path className={styles.ended} d="M-4 -4l8 8M4 -4l-8 8" />
  return <rect className={styles.stop} x="-3.5" y="-3.5" width="7" height="7" data-over={strip.isOver} />
}

/** Draws its children around a place on the line, in pixels. */
function At({ place, children }: { place: number; children: React.ReactNode }) {
  return (
    <svg x={toPercent(place)} y="50%" width="1" height="1" overflow="visible" aria-hidden="true">
      {children}
    </svg>
  )
}
