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
} from '@/app/ui/words/laneText'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import styles from '../../../Lanes.module.css'
import own from './PaceSection.module.css'

/** Whether a lane keeps its pace: changes that lasted, and the weeks one by one against its limits. */
export function PaceSection({ page }: { page: LanePage }) {
  const t = useTranslate()
  const { figures, plant, asOf } = page
  const { pace, chart } = figures
  return (
    <section>
      <h2>Whether it keeps its pace</h2>
      <PaceChanges page={page} />
      {pace.hasTooFewArrivals && <p className="prose">{formatArrivalsNeeded(t, pace)}</p>}
      {chart === null ? (
        <p className="prose">Too few have arrived to draw limits that weeks could be held against.</p>
      ) : (
        <WeeklyChart chart={chart} zone={plant.zone} now={asOf} />
      )}
    </section>
  )
}

function PaceChanges({ page: { figures, plant, asOf } }: { page: LanePage }) {
  const t = useTranslate()
  const { changes, falseAlarmInterval } = figures.pace
  const caution = `On a lane whose pace never changes, one change in ${falseAlarmInterval.toLocaleString('en-GB')} shipments is called by chance.`
  if (changes.length === 0) return <p className="prose">No lasting change of its pace has shown. {caution}</p>
  return (
    <>
      <ul className={styles.breaks}>
        {[...changes].reverse().map((change) => (
          <li key={change.sinceAt}>
            {capitalised(formatPaceChange(t, change, plant.zone, asOf))}: {formatShipmentsSince(t, change)}.
          </li>
        ))}
      </ul>
      <p className="prose">Days are those of the plant. {caution}</p>
    </>
  )
}

type Pace = LanePage['figures']['pace']

/** "9 shipments since, 5 of which have not arrived": those under way and those that never will. */
function formatShipmentsSince(t: Translate, { consignments, underWay }: Pace['changes'][number]): string {
  const since = `${formatShipmentCount(t, consignments)} ${Math.round(consignments) === 1 ? 'shipment' : 'shipments'} since`
  if (underWay <= 0.5) return since
  const count = formatShipmentCount(t, underWay)
  return `${since}, ${count} of which ${count === '1' ? 'has' : 'have'} not arrived`
}

/** How far a lane is from being told of. */
function formatArrivalsNeeded(t: Translate, { changes, arrivals, minArrivals }: Pace): string {
  const have = `${formatShipmentCount(t, arrivals)} of the ${minArrivals} arrivals`
  if (changes.length === 0) return `So far there are ${have} that it takes to tell a change.`
  return `Since that was noticed there have been ${have} that it takes to tell another change.`
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
      <h3 className={styles.sub}>Week by week</h3>
      <p className="prose">
        {broken.length === 0
          ? 'No week lies beyond the limits, and no run of weeks breaks a rule.'
          : `${capitalised(broken.length === 1 ? 'one stretch breaks' : `${broken.length} stretches break`)} a rule:`}
      </p>
      {broken.length > 0 && (
        <ul className={styles.breaks}>
          {broken.map(({ rule, from, to, side }) => (
            <li key={`${rule} ${from}`}>
              {capitalised(formatRunRule(t, rule))}
              {side && `, ${side}`}: handed over from {day(from)} to {day(to)}.
            </li>
          ))}
        </ul>
      )}
      <ChartFigure
        chart={chart}
        from={`week of ${day(first.firstDay)}`}
        to={`week of ${day(last.firstDay)}`}
      />
      <p className="prose">
        Each point is a week of hand-overs, or several where a week has fewer than five shipments: above the
        centre they were slower than usual, and beyond a limit lies one point in 370 by chance. What is usual
        comes from the {formatShipmentCount(t, reference.consignments)} shipments from{' '}
        {day(reference.firstDay)} to {day(reference.lastDay)}.{' '}
        {isWidened &&
          'Weeks differ here by more than chance makes single shipments differ, and the limits are wider for it. '}
        It is a screen, not a verdict: it says where to ask, not what happened.
      </p>
      <details>
        <summary>The weeks as a table</summary>
        <ChartTable points={points} zone={zone} now={now} />
      </details>
    </>
  )
}

function ChartTable({ points, zone, now }: { points: Chart['points']; zone: string; now: number }) {
  const t = useTranslate()
  return (
    <table className={`${table.table} ${table.stack} ${table.narrow}`}>
      <caption>By days of hand-over, the newest first; above 0 slower than usual</caption>
      <thead>
        <tr>
          <th scope="col">Handed over</th>
          <th scope="col">Shipments</th>
          <th scope="col">Half within</th>
          <th scope="col">Score</th>
          <th scope="col">Rule broken</th>
        </tr>
      </thead>
      <tbody>
        {[...points]
          .reverse()
          .map(({ firstDay, lastDay, consignments, underWay, medianSteps, score, breaks }) => (
            <tr key={firstDay}>
              <th scope="row">
                {formatDayNumber(t, firstDay, zone, now)} to {formatDayNumber(t, lastDay, zone, now)}
              </th>
              <td data-head="shipments">
                {formatShipmentCount(t, consignments)}
                {underWay > 0.5 && `, ${formatShipmentCount(t, underWay)} under way`}
              </td>
              <td data-head="half within">{formatStepCell(t, medianSteps)}</td>
              <td data-head="score">{score.toFixed(1).replace('-', '−')}</td>
              <td>{breaks.map((one) => formatRunRule(t, one)).join('; ')}</td>
            </tr>
          ))}
      </tbody>
    </table>
  )
}

type Point = Chart['points'][number]

/** A stretch of points that breaks a rule; days are local days of hand-over. */
interface BrokenRule {
  rule: Point['breaks'][number]
  from: number
  to: number
  /** Null where its points lie on both sides of the centre. */
  side: 'slower' | 'faster' | null
}

/** The stretches of a chart's points that break a rule, the newest first. */
function findBrokenRules(points: readonly Point[]): BrokenRule[] {
  const stretches = new Map<string, Point[]>()
  const found: { rule: BrokenRule['rule']; members: Point[] }[] = []
  for (const point of points) {
    for (const rule of stretches.keys())
      if (!point.breaks.some((broken) => broken === rule)) stretches.delete(rule)
    for (const rule of point.breaks) {
      const going = stretches.get(rule)
      if (going) {
        going.push(point)
        continue
      }
      const members = [point]
      stretches.set(rule, members)
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
/** Scores further out than this lie on the edge. */
const MAX_SCORE = 4.5

/** The control chart of a lane: a point for its weeks, centre and limits as lines, points that break a rule in brick. */
function ChartFigure({ chart, from, to }: { chart: Chart; from: string; to: string }) {
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
        upper limit, slower
      </text>
      <text x="0" y={y(lower) + 13} className={own.name}>
        lower limit, faster
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
