import { scaleLinear } from 'd3-scale'
import { useTranslate } from '#translate'
import table from '@/app/ui/Table.module.css'
import { formatDayNumber } from '@/app/ui/words/instant'
import {
  formatLongDay,
  formatPaceChange,
  formatRunRule,
  formatShipmentCount,
  formatStepCell,
} from '@/app/ui/words/lane'
import type { Translate } from '@/lib/messages/translate'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from '../../../Lanes.module.css'
import own from './PaceSection.module.css'

/** Lasting changes of a lane's pace, and its weeks against their control limits. */
export function PaceSection({ page }: { page: LanePage }) {
  const t = useTranslate()
  const { figures, plant, asOf } = page
  const { pace, chart } = figures
  return (
    <section>
      <h2>{t('laneChart.heading')}</h2>
      <PaceChanges page={page} />
      {pace.hasTooFewArrivals && <p className="prose">{formatArrivalsNeeded(t, pace)}</p>}
      {chart === null ? (
        <p className="prose">{t('laneChart.tooFew')}</p>
      ) : (
        <WeeklyChart chart={chart} zone={plant.zone} now={asOf} />
      )}
    </section>
  )
}

function PaceChanges({ page: { figures, plant, asOf } }: { page: LanePage }) {
  const t = useTranslate()
  const { changes, falseAlarmInterval } = figures.pace
  const caution = t('laneChart.falseAlarms', { shipments: falseAlarmInterval })
  if (changes.length === 0)
    return (
      <p className="prose">
        {t('laneChart.noChanges')} {caution}
      </p>
    )
  return (
    <>
      <ul className={styles.breaks}>
        {[...changes].reverse().map((change) => (
          <li key={change.sinceAt}>
            {formatPaceChange(t, change, plant.zone, asOf)} {formatShipmentsSince(t, change)}
          </li>
        ))}
      </ul>
      <p className="prose">
        {t('laneChart.days')} {caution}
      </p>
    </>
  )
}

type Pace = LanePage['figures']['pace']

/** Shipments since a change; those that have not arrived are under way or lost. */
function formatShipmentsSince(t: Translate, { consignments, underWay }: Pace['changes'][number]): string {
  const count = Math.round(consignments)
  if (underWay <= 0.5) return t('laneChart.since', { count })
  return t('laneChart.sinceUnderWay', { count, underWay: Math.round(underWay) })
}

/** How many arrivals are missing before a change can be detected. */
function formatArrivalsNeeded(t: Translate, { changes, arrivals, minArrivals }: Pace): string {
  const values = { arrivals: Math.round(arrivals), needed: minArrivals }
  return changes.length === 0 ? t('laneChart.needed', values) : t('laneChart.neededAgain', values)
}

type Chart = NonNullable<LanePage['figures']['chart']>

function WeeklyChart({ chart, zone, now }: { chart: Chart; zone: string; now: number }) {
  const t = useTranslate()
  const { points, reference, isWidened } = chart
  const [first, last] = [points[0], points.at(-1)]
  const broken = findBrokenRules(points)
  const day = (number: number) => formatLongDay(t, number, zone, now)
  if (!first || !last) return null
  return (
    <>
      <h3 className={styles.sub}>{t('laneChart.weekly')}</h3>
      <p className="prose">
        {broken.length === 0 ? t('laneChart.unbroken') : t('laneChart.broken', { count: broken.length })}
      </p>
      {broken.length > 0 && (
        <ul className={styles.breaks}>
          {broken.map(({ rule, from, to, side }) => (
            <li key={`${rule} ${from}`}>
              {t('laneChart.break', {
                rule: formatRunRule(t, rule),
                side: side ?? 'both',
                from: day(from),
                to: day(to),
              })}
            </li>
          ))}
        </ul>
      )}
      <ChartFigure
        chart={chart}
        from={t('laneChart.weekOf', { day: day(first.firstDay) })}
        to={t('laneChart.weekOf', { day: day(last.firstDay) })}
      />
      <p className="prose">
        {t('laneChart.about', {
          count: Math.round(reference.consignments),
          from: day(reference.firstDay),
          to: day(reference.lastDay),
        })}{' '}
        {isWidened && `${t('laneChart.widened')} `}
        {t('laneChart.caution')}
      </p>
      <details>
        <summary>{t('laneChart.table')}</summary>
        <ChartTable points={points} zone={zone} now={now} />
      </details>
    </>
  )
}

function ChartTable({ points, zone, now }: { points: Chart['points']; zone: string; now: number }) {
  const t = useTranslate()
  return (
    <table className={`${table.table} ${table.stack} ${table.narrow}`}>
      <caption>{t('laneChart.caption')}</caption>
      <thead>
        <tr>
          <th scope="col">{t('laneChart.column.handedOver')}</th>
          <th scope="col">{t('laneChart.column.shipments')}</th>
          <th scope="col">{t('laneChart.column.median')}</th>
          <th scope="col">{t('laneChart.column.score')}</th>
          <th scope="col">{t('laneChart.column.rule')}</th>
        </tr>
      </thead>
      <tbody>
        {[...points]
          .reverse()
          .map(({ firstDay, lastDay, consignments, underWay, medianSteps, score, breaks }) => (
            <tr key={firstDay}>
              <th scope="row">
                {t('laneChart.days.range', {
                  first: formatDayNumber(t, firstDay, zone, now),
                  last: formatDayNumber(t, lastDay, zone, now),
                })}
              </th>
              <td data-head={t('laneChart.column.shipments')}>
                {underWay > 0.5
                  ? t('laneChart.shipmentsUnderWay', {
                      count: Math.round(consignments),
                      underWay: Math.round(underWay),
                    })
                  : formatShipmentCount(t, consignments)}
              </td>
              <td data-head={t('laneChart.column.median')}>{formatStepCell(t, medianSteps)}</td>
              <td data-head={t('laneChart.column.score')}>
                {t.number(score, ONE_DECIMAL).replace('-', '−')}
              </td>
              <td>
                {breaks.map((rule) => (
                  <div key={rule}>{formatRunRule(t, rule)}</div>
                ))}
              </td>
            </tr>
          ))}
      </tbody>
    </table>
  )
}

const ONE_DECIMAL = { minimumFractionDigits: 1, maximumFractionDigits: 1 }

type Point = Chart['points'][number]

/** A run of points that breaks a rule; days are local days of hand-over. */
interface BrokenRule {
  rule: Point['breaks'][number]
  from: number
  to: number
  /** Null if its points are on both sides of the centre. */
  side: 'slower' | 'faster' | null
}

/** The runs of a chart's points that break a rule, newest first. */
function findBrokenRules(points: readonly Point[]): BrokenRule[] {
  const runs = new Map<string, Point[]>()
  const found: { rule: BrokenRule['rule']; members: Point[] }[] = []
  for (const point of points) {
    for (const rule of runs.keys()) if (!point.breaks.some((broken) => broken === rule)) runs.delete(rule)
    for (const rule of point.breaks) {
      const going = runs.get(rule)
      if (going) {
        going.push(point)
        continue
      }
      const members = [point]
      runs.set(rule, members)
      found.push({ rule, members })
    }
  }
  return found
    .map(({ rule, members }) => ({
      rule,
      from: (members[0] as Point).firstDay,
      to: (members.at(-1) as Point).lastDay,
      side: findSide(members),
    }))
    .sort((a, b) => b.to - a.to)
}

function findSide(members: readonly Point[]): BrokenRule['side'] {
  if (members.every(({ score }) => score > 0)) return 'slower'
  return members.every(({ score }) => score < 0) ? 'faster' : null
}

const [TOP, FLOOR, HEIGHT] = [10, 190, 212]
/** Scores further out are drawn on the edge. */
const MAX_SCORE = 4.5

/** The control chart of a lane: centre and limits as lines, points that break a rule in brick. */
function ChartFigure({ chart, from, to }: { chart: Chart; from: string; to: string }) {
  const t = useTranslate()
  const { points, centre, lower, upper } = chart
  const reach = Math.max(MAX_SCORE, upper + 0.5)
  const y = scaleLinear().domain([-reach, reach]).range([FLOOR, TOP]).clamp(true)
  const x = scaleLinear()
    .domain([0, Math.max(1, points.length - 1)])
    .range([2, 98])
  const at = (index: number) => `${x(index).toFixed(3)}%`
  return (
    <svg className={own.figure} height={HEIGHT} aria-hidden="true" focusable="false">
      <line x1="0" x2="100%" y1={y(centre)} y2={y(centre)} className={own.centre} />
      {[lower, upper].map((limit) => (
        <line key={limit} x1="0" x2="100%" y1={y(limit)} y2={y(limit)} className={own.limit} />
      ))}
      <text x="0" y={y(upper) - 4} className={own.name}>
        {t('laneChart.upper')}
      </text>
      <text x="0" y={y(lower) + 13} className={own.name}>
        {t('laneChart.lower')}
      </text>
      {points.slice(1).map(({ firstDay, score }, index) => (
        <line
          key={firstDay}
          x1={at(index)}
          x2={at(index + 1)}
          y1={y(points[index]?.score ?? 0)}
          y2={y(score)}
          className={own.path}
        />
      ))}
      {points.map(({ firstDay, score, breaks }, index) => (
        <circle
          key={firstDay}
          cx={at(index)}
          cy={y(score)}
          r={breaks.length > 0 ? 4 : 2.5}
          className={breaks.length > 0 ? own.breaking : own.point}
        />
      ))}
      <text x="0" y={HEIGHT - 4} className={own.name}>
        {from}
      </text>
      <text x="100%" y={HEIGHT - 4} textAnchor="end" className={own.name}>
        {to}
      </text>
    </svg>
  )
}
