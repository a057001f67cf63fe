import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import type { Translate } from '@/lib/messages/translate'
import { rich } from './language/rich'
import styles from './StripAxis.module.css'
import { toStripX } from './timeLeftScale'

const DAY_HOURS = 24

/** Minor ticks, and what a label has in a `rest` tag, are left out where there is little room. */
const TICKS: { hoursLeft: number; isMinor?: boolean; label: (t: Translate) => ReactNode }[] = [
  { hoursLeft: 14 * DAY_HOURS, label: (t) => rich(t, 'strip.tick.daysLeft', { days: 14, rest }) },
  { hoursLeft: 7 * DAY_HOURS, isMinor: true, label: (t) => t('strip.tick.day', { days: 7 }) },
  { hoursLeft: 4 * DAY_HOURS, isMinor: true, label: (t) => t('strip.tick.day', { days: 4 }) },
  { hoursLeft: 2 * DAY_HOURS, label: (t) => rich(t, 'strip.tick.days', { days: 2, rest }) },
  { hoursLeft: DAY_HOURS, label: (t) => rich(t, 'strip.tick.days', { days: 1, rest }) },
  { hoursLeft: 12, isMinor: true, label: (t) => t('strip.tick.hours', { hours: 12 }) },
  { hoursLeft: 0, label: (t) => t('strip.tick.limit') },
  { hoursLeft: -2 * DAY_HOURS, label: (t) => rich(t, 'strip.tick.daysOver', { days: 2, rest }) },
]

const rest = (text: ReactNode) => <tspan className={styles.rest}>{text}</tspan>

/** The scale that every strip below it shares: time left to the left of the limit, lapsed time to its right. */
export function StripAxis() {
  const t = useTranslate()
  return (
    <svg className={styles.axis} aria-hidden="true" focusable="false">
      {TICKS.map(({ hoursLeft, label, isMinor }) => {
        const place = `${(toStripX(hoursLeft) * 100).toFixed(2)}%`
        return (
          <g
            key={hoursLeft}
            className={styles.tick}
            data-minor={isMinor}
            data-limit={hoursLeft === 0}
            data-first={hoursLeft === 14 * DAY_HOURS}
          >
            <text x={place} y="57%">
              {label(t)}
            </text>
            <line x1={place} x2={place} y1="79%" y2="100%" />
          </g>
        )
      })}
    </svg>
  )
}
