import { scaleBand, scaleLinear } from 'd3-scale'
import { useTranslate } from '#translate'
import { formatPercent } from '@/app/ui/words/chance'
import { formatShipmentCount } from '@/app/ui/words/lane'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from './TransitFigure.module.css'

type Curve = NonNullable<LanePage['figures']['curve']>

const TOP = 8
const FLOOR = 208
/** Baselines of the lines of numbers under the picture. */
const [DAYS, AT_RISK_HEAD, AT_RISK, ARRIVED_HEAD, ARRIVED, HEIGHT] = [226, 246, 262, 282, 298, 304]
/** Characters of numbers that fit into one line on a phone. */
const LINE = 44

const SHARES = [
  { share: 0.5, name: 'lanes.curve.half' },
  { share: 0.9, name: 'lanes.curve.nineOfTen' },
  { share: 1, name: 'lanes.curve.all' },
] as const

const place = scaleLinear().domain([0, 1]).range([FLOOR, TOP])

/** The estimated share that has arrived by the end of each open day, with its interval; counts below. */
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
      {SHARES.map(({ share, name }) => (
        <g key={share}>
          <line x1="0" x2="100%" y1={place(share)} y2={place(share)} className={styles.grid} />
          <text x="0" y={place(share) + 12} className={styles.name}>
            {t(name)}
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
        {t('lanes.curve.atRisk')}
      </text>
      <text x="0" y={ARRIVED_HEAD} className={styles.name}>
        {t('lanes.curve.arrived')}
      </text>
    </svg>
  )
}

export function TransitTable({ curve, className }: { curve: Curve; className: string | undefined }) {
  const t = useTranslate()
  return (
    <table className={className}>
      <caption>{t('lanes.curve.caption')}</caption>
      <thead>
        <tr>
          <th scope="col">{t('lanes.curve.column.day')}</th>
          <th scope="col">{t('lanes.curve.column.atRisk')}</th>
          <th scope="col">{t('lanes.curve.column.arrived')}</th>
          <th scope="col">{t('lanes.curve.column.share')}</th>
          <th scope="col">{t('lanes.curve.column.interval')}</th>
        </tr>
      </thead>
      <tbody>
        {curve.points.map(({ step, atRisk, arrived, notYet, low, high }) => (
          <tr key={step}>
            <th scope="row">{step === 0 ? t('lanes.curve.sameDay') : step}</th>
            <td>{formatShipmentCount(t, atRisk)}</td>
            <td>{formatShipmentCount(t, arrived)}</td>
            <td>{formatPercent(t, 1 - notYet)}</td>
            <td>
              {t('lanes.curve.interval', {
                low: formatPercent(t, 1 - high),
                high: formatPercent(t, 1 - low),
              })}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
