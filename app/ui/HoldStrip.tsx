import type { Clock } from '@/lib/hold/clock'
import type { Milestone } from '@/lib/hold/milestone'
import type { Standing } from '@/lib/hold/standing'
import styles from './HoldStrip.module.css'
import { type Strip, stripOf } from './stripOf'
import { UPRIGHT } from './timeLeftScale'

const percent = (share: number) => `${(share * 100).toFixed(2)}%`

/**
 * The hold strip of one clock: a line from its start to now, small bars for milestones, the limit as an upright
 * that stands in one place for every sample. It fills its parent. The words beside it say the same, so it is
 * hidden from screen readers.
 */
export function HoldStrip({
  clock,
  milestones,
  standing,
  now,
  endedAt = null,
}: {
  clock: Clock | null
  milestones: readonly { milestone: Milestone; at: number }[]
  standing: Standing
  now: number
  endedAt?: number | null
}) {
  const strip = clock && stripOf(clock, milestones, now, endedAt)
  return (
    <svg className={styles.strip} data-standing={standing} aria-hidden="true" focusable="false">
      <line className={styles.upright} x1={percent(UPRIGHT)} x2={percent(UPRIGHT)} y1="0" y2="100%" />
      {strip && (
        <>
          {strip.end < UPRIGHT && (
            <line className={styles.ahead} x1={percent(strip.end)} x2={percent(UPRIGHT)} y1="50%" y2="50%" />
          )}
          <line
            className={styles.spent}
            x1={percent(strip.start)}
            x2={percent(Math.min(strip.end, UPRIGHT))}
            y1="50%"
            y2="50%"
          />
          {strip.end > UPRIGHT && (
            <line className={styles.over} x1={percent(UPRIGHT)} x2={percent(strip.end)} y1="50%" y2="50%" />
          )}
          {strip.before === 'torn' && (
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
            {strip.before === 'pointer' && <path className={styles.earlier} d="M-7.5 -4l-4 4l4 4" />}
          </At>
        </>
      )}
    </svg>
  )
}

/** What stands at a line's end: a ring for now, a square for a stop, a cross where the sample ended. */
function End({ strip }: { strip: Strip }) {
  if (strip.endKind === 'now') return <circle className={styles.now} r="4.5" />
  if (strip.endKind === 'ended') return <path className={styles.ended} d="M-4 -4l8 8M4 -4l-8 8" />
  return <rect className={styles.stop} x="-3.5" y="-3.5" width="7" height="7" data-over={strip.isOver} />
}

/** Draws its children around a place on the strip's line, in pixels. */
function At({ place, children }: { place: number; children: React.ReactNode }) {
  return (
    <svg x={percent(place)} y="50%" width="1" height="1" overflow="visible" aria-hidden="true">
      {children}
    </svg>
  )
}
