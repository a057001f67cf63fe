import styles from './StripAxis.module.css'
import { placeOf } from './timeLeftScale'

const TICKS: { hoursLeft: number; label: string; isMinor?: boolean }[] = [
  { hoursLeft: 14 * 24, label: '14 days left' },
  { hoursLeft: 7 * 24, label: '7' },
  { hoursLeft: 4 * 24, label: '4', isMinor: true },
  { hoursLeft: 48, label: '2 days' },
  { hoursLeft: 24, label: '1' },
  { hoursLeft: 12, label: '12 h', isMinor: true },
  { hoursLeft: 0, label: 'limit' },
  { hoursLeft: -24, label: '1', isMinor: true },
  { hoursLeft: -48, label: '2 days over' },
]

/** The scale that every strip below it shares: time left to the left of the limit, lapsed time to its right. */
export function StripAxis() {
  return (
    <div className={styles.axis} aria-hidden="true">
      {TICKS.map(({ hoursLeft, label, isMinor }) => (
        <span
          key={hoursLeft}
          className={styles.tick}
          data-minor={isMinor}
          data-limit={hoursLeft === 0}
          data-first={hoursLeft === 14 * 24}
          style={{ left: `${(placeOf(hoursLeft) * 100).toFixed(2)}%` }}
        >
          {label}
        </span>
      ))}
    </div>
  )
}
