import { scaleBand, scaleLinear } from 'd3-scale'
import { useTranslate } from '#translate'
import { formatPercent, formatShipmentCount } from '@/app/ui/words/laneText'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './TransitFigure.module.css'

type Curve = NonNullable<LanePage['figures']['curve']>

const TOP = 8
const FLOOR = 208
/** Lines of numbers under the picture. */
const [DAYS, AT_RISK_HEAD, AT_RISK, ARRIVED_HEAD, ARRIVED, HEIGHT] = [226, 246, 262, 282, 298, 304]
/** So many characters of numbers fit into one line on a phone. */
const LINE = 44

const place = scaleLinear().domain([0, 1]).range([FLOOR, TOP])

/** The estimated share that has arrived by the end of each open day, its interval, and the counts under it. */
export function TransitFigure({ curve: { points } }: { curve: Curve }) {
  const t = useTranslate()
  const columns = scaleBand<number>()
    .domain(points.map(({ step }) => step))
    .range([0, 100])
  const width = columns.bandwidth()
  const at = (step: number, share = 0) => `${((columns(step) ?? 0) + share * width).toFixed(3)}%`
  const widest = 1 + Math.max(...points.map(({ atRisk }) => formatShipmentCount(t, atRisk).length))
  const every = Math.ceil((points.length * widest) / LINE)
  const numbered = points.filter(({ step }) => step % every === 0)
  return (
    <svg className={styles.figure} height={HEIGHT} aria-hidden="true" focusable="false">
      {[
        [0.5, 'half'],
        [0.9, 'nine of ten'],
        [1, 'all'],
      ].map(([share, name]) => (
        <g key={name}>
          <line
            x1="0"
            x2="100%"
            y1={place(share as number)}
            y2={place(share as number)}
            className={styles.grid}
          />
          <text x="0" y={place(share as number) + 12} className={styles.name}>
            {name}
          </text>
        </g>
      ))}
      <line x1="0" x2="100%" y1={FLOOR} y2={FLOOR} className={styles.axis} />
      {points.map(({ step, notYet, low, high }, index) => {
        const before = points[index - 1]?.notYet ?? 1
        return (
          <g key={step}>
            <rect
              x={at(step)}
              width={`${width.toFixed(3)}%`}
              y={place(1 - low)}
              height={Math.max(0, place(1 - high) - place(1 - low))}
              className={styles.band}
            />
            <line
              x1={at(step)}
              x2={at(step)}
              y1={place(1 - before)}
              y2={place(1 - notYet)}
              className={styles.curve}
            />
            <line
              x1={at(step)}
              x2={at(step, 1)}
              y1={place(1 - notYet)}
              y2={place(1 - notYet)}
              className={styles.curve}
            />
          </g>
        )
      })}
      {numbered.map(({ step, atRisk, arrived }) => (
        <g key={step} textAnchor="middle" className={styles.number}>
          <text x={at(step, 0.5)} y={DAYS}>
            {step}
          </text>
          <text x={at(step, 0.5)} y={AT_RISK}>
            {formatShipmentCount(t, atRisk)}
          </text>
          <text x={at(step, 0.5)} y={ARRIVED}>
            {formatShipmentCount(t, arrived)}
          </text>
        </g>
      ))}
      <text x="0" y={AT_RISK_HEAD} className={styles.name}>
        still on the way when that day began
      </text>
      <text x="0" y={ARRIVED_HEAD} className={styles.name}>
        arrived on it
      </text>
    </svg>
  )
}

/** The same as a table. */
export function TransitTable({ curve, className }: { curve: Curve; className: string | undefined }) {
  const t = useTranslate()
  return (
    <table className={className}>
      <caption>
        By open day after the day of hand-over; the interval holds the share with a chance of 90 %
      </caption>
      <thead>
        <tr>
          <th scope="col">Open day</th>
          <th scope="col">On the way when it began</th>
          <th scope="col">Arrived on it</th>
          <th scope="col">Share arrived by its end</th>
          <th scope="col">Interval</th>
        </tr>
      </thead>
      <tbody>
        {curve.points.map(({ step, atRisk, arrived, notYet, low, high }) => (
          <tr key={step}>
            <th scope="row">{step === 0 ? 'the same day' : step}</th>
            <td>{formatShipmentCount(t, atRisk)}</td>
            <td>{formatShipmentCount(t, arrived)}</td>
            <td>{formatPercent(t, 1 - notYet)}</td>
            <td>
              {formatPercent(t, 1 - high)} to {formatPercent(t, 1 - low)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
