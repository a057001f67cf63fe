import { scaleLinear } from 'd3-scale'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './ChartFigure.module.css'

type Chart = NonNullable<LanePage['figures']['chart']>

const [TOP, FLOOR, HEIGHT] = [10, 190, 212]
/** Scores further out than this lie on the edge. */
const FURTHEST = 4.5

/** The control chart of a lane: a point for its weeks, centre and limits as lines, points that break a rule in brick. */
export function ChartFigure({ chart, from, to }: { chart: Chart; from: string; to: string }) {
  const { points, centre, lower, upper } = chart
  const reach = Math.max(FURTHEST, upper + 0.5)
  const y = scaleLinear().domain([-reach, reach]).range([FLOOR, TOP]).clamp(true)
  const x = scaleLinear()
    .domain([0, Math.max(1, points.length - 1)])
    .range([2, 98])
  const at = (index: number) => `${x(index).toFixed(3)}%`
  return (
    <svg className={styles.figure} height={HEIGHT} aria-hidden="true" focusable="false">
      <line x1="0" x2="100%" y1={y(centre)} y2={y(centre)} className={styles.centre} />
      {[lower, upper].map((limit) => (
        <line key={limit} x1="0" x2="100%" y1={y(limit)} y2={y(limit)} className={styles.limit} />
      ))}
      <text x="0" y={y(upper) - 4} className={styles.name}>
        upper limit, slower
      </text>
      <text x="0" y={y(lower) + 13} className={styles.name}>
        lower limit, faster
      </text>
      {points.slice(1).map(({ firstDay, score }, index) => (
        <line
          key={firstDay}
          x1={at(index)}
          x2={at(index + 1)}
          y1={y(points[index]?.score ?? 0)}
          y2={y(score)}
          className={styles.path}
        />
      ))}
      {points.map(({ firstDay, score, breaks }, index) => (
        <circle
          key={firstDay}
          cx={at(index)}
          cy={y(score)}
          r={breaks.length > 0 ? 4 : 2.5}
          className={breaks.length > 0 ? styles.breaking : styles.point}
        />
      ))}
      <text x="0" y={HEIGHT - 4} className={styles.name}>
        {from}
      </text>
      <text x="100%" y={HEIGHT - 4} textAnchor="end" className={styles.name}>
        {to}
      </text>
    </svg>
  )
}
