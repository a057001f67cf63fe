import { scaleBand, scaleSqrt } from 'd3-scale'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './Lanes.module.css'

type Curve = NonNullable<LanePage['figures']['curve']>

/** The same days for every lane, so that one can be held against another. */
const DAYS = 12
const HEIGHT = 28
const days = scaleBand<number>()
  .domain(Array.from({ length: DAYS + 1 }, (_, step) => step))
  .range([0, 100])
  .paddingInner(0.2)
// Areas of small shares must be seen beside large ones.
const height = scaleSqrt()
  .domain([0, 1])
  .range([0, HEIGHT - 2])

/** On which open day shipments arrive: a bar for each from 0 on, the last one in brick for later or never. */
export function ArrivalBars({ curve }: { curve: Curve }) {
  const notYet = (step: number) => (step < 0 ? 1 : ((curve.points[step] ?? curve.points.at(-1))?.notYet ?? 0))
  return (
    <svg className={styles.small} height={HEIGHT} aria-hidden="true" focusable="false">
      <line x1="0" x2="100%" y1={HEIGHT - 0.5} y2={HEIGHT - 0.5} className={styles.base} />
      {days.domain().map((step) => {
        const isRest = step === DAYS
        const share = isRest ? notYet(DAYS - 1) : notYet(step - 1) - notYet(step)
        const tall = height(Math.max(0, share))
        if (tall < 0.5) return null
        return (
          <rect
            key={step}
            className={isRest ? styles.rest : styles.bar}
            data-median={step === curve.halfWithin}
            x={`${(days(step) ?? 0).toFixed(2)}%`}
            width={`${days.bandwidth().toFixed(2)}%`}
            y={(HEIGHT - tall - 1).toFixed(2)}
            height={tall.toFixed(2)}
          />
        )
      })}
    </svg>
  )
}
