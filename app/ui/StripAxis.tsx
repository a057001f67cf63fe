import styles from './StripAxis.module.css'
import { toStripX } from './timeLeftScale'

/** `rest` is left out where there is little room, and so are minor ticks. */
const TICKS: { hoursLeft: number; label: string; rest?: string; end?: string; isMinor?: boolean }[] = [
  { hoursLeft: 14 * 24, label: '14 days', rest: ' left' },
  { hoursLeft: 7 * 24, label: '7', isMinor: true },
  { hoursLeft: 4 * 24, label: '4', isMinor: true },
  { hoursLeft: 48, label: '2', rest: ' days' },
  { hoursLeft: 24, label: '1', rest: ' day' },
  { hoursLeft: 12, label: '12 h', isMinor: true },
  { hoursLeft: 0, label: 'limit' },
  { hoursLeft: -48, label: '2', rest: ' days', end: ' over' },
]

/** The scale that every strip below it shares: time left to the left of the limit, lapsed time to its right. */
export function StripAxis() {
  return (
    <svg className={styles.axis} aria-hidden="true" focusable="false">
      {TICKS.map(({ hoursLeft, label, rest, end, isMinor }) => {
        const place = `${(toStripX(hoursLeft) * 100).toFixed(2)}%`
        return (
          <g
            key={hoursLeft}
            className={styles.tick}
            data-minor={isMinor}
            data-limit={hoursLeft === 0}
            data-first={hoursLeft === 14 * 24}
          >
            <text x={place} y="57%">
              {label}
              {rest && <tspan className={styles.rest}>{rest}</tspan>}
              {end}
            </text>
            <line x1={place} x2={place} y1="79%" y2="100%" />
          </g>
        )
      })}
    </svg>
  )
}
