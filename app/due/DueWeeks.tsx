import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { formatDayNumber, formatShortDay } from '@/app/ui/words/instant'
import { getWeekday, toLocalDay } from '@/lib/hold/zone'
import { describeActs, describeOverdue, getActorName, getProductName } from '@/lib/judgement/dueText'
import { isForTest } from '@/lib/judgement/overdue'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import { isResponsible } from '@/lib/judgement/responsibility'
import type { ActKind, Actor } from '@/lib/schedule/act'
import { toIsoWeek } from '@/lib/schedule/isoWeek'
import { listDueLines, type OwedTest } from '@/lib/schedule/owedTests'
import styles from './DueWeeks.module.css'
import { matchesDueFilter } from './dueFilter'
import type { DueView } from './dueView'
import { MAX_TESTS, ShowAll, takeFirst } from './ShowAll'

const percent = (share: number) => `${(share * 100).toFixed(2)}%`

/**
 * The owed tests as lines over the coming weeks. The text beside a line names its next step and the list below names all
 * steps, so the chart may be missing, as it is on a phone.
 */
export function DueWeeks({ view, zone }: { view: DueView; zone: string }) {
  const t = useTranslate()
  const chart = buildWeekChart(view, zone)
  if (chart.lines.length === 0) return null
  const lines = takeFirst(chart.lines, view.showsAll ? Number.POSITIVE_INFINITY : MAX_TESTS)
  return (
    <section className={styles.weeks} aria-labelledby="weeks">
      <h2 id="weeks" className={styles.title}>
        {t('due.weeks.title')}
      </h2>
      <p className={styles.legend}>
        {rich(t, 'due.weeks.legend', {
          plant: <LegendMark kind="plant" />,
          other: <LegendMark kind="other" />,
          report: <LegendMark kind="report" />,
          late: <LegendMark kind="late" />,
        })}
      </p>
      <div className={styles.axisRow}>
        <Axis chart={chart} />
      </div>
      <ul className={styles.lines}>
        {lines.map((line) => (
          <li key={`${line.owed.duty} ${line.owed.number}`} className={styles.line}>
            <span className={styles.product}>
              {getProductName(t, line.owed.product, view.work)}
              {view.hasSeveralPlants && (
                <span className={styles.more}>{view.work.places.get(line.owed.plant)}</span>
              )}
            </span>
            <span className={styles.picture}>
              <Strip line={line} chart={chart} />
            </span>
            <span className={styles.say}>
              <NextAct line={line} view={view} />
            </span>
          </li>
        ))}
      </ul>
      <ShowAll count={chart.lines.length - lines.length} message="due.more.tests" filter={view.filter} />
    </section>
  )
}

function Axis({ chart: { mondays } }: { chart: WeekChart }) {
  const t = useTranslate()
  return (
    <svg className={styles.axis} aria-hidden="true" focusable="false">
      {mondays.map(({ day, place }, index) => (
        <g key={day} className={styles.tick} data-minor={index % 2 === 1}>
          <text x={percent(place)} y="38%">
            {t('due.weeks.week', { week: t.number(toIsoWeek(day).week) })}
          </text>
          <text x={percent(place)} y="84%">
            {formatShortDay(t, day)}
          </text>
        </g>
      ))}
    </svg>
  )
}

function Strip({ line, chart: { mondays, today } }: { line: WeekLine; chart: WeekChart }) {
  const { marks, from, to, overdue, isSetAside, isOnward } = line
  return (
    <svg className={styles.strip} aria-hidden="true" focusable="false">
      {mondays.map(({ day, place }) => (
        <line key={day} className={styles.monday} x1={percent(place)} x2={percent(place)} y1="0" y2="100%" />
      ))}
      <line className={styles.today} x1={percent(today)} x2={percent(today)} y1="0" y2="100%" />
      <line className={styles.span} x1={percent(from)} x2={percent(to)} y1="50%" y2="50%" />
      {marks.map(({ acts, by, place }) => (
        <At key={acts.join()} place={place}>
          {acts.includes('report') ? (
            <rect className={styles.report} x="-3.5" y="-3.5" width="7" height="7" />
          ) : (
            <line
              className={styles.mark}
              data-by={by}
              y1={by === 'plant' ? -8 : -4}
              y2={by === 'plant' ? 8 : 4}
            />
          )}
        </At>
      ))}
      {isOnward && (
        <At place={to}>
          <path className={styles.onward} d="M-5 -4l4 4l-4 4" />
        </At>
      )}
      {overdue && (
        <At place={today}>
          <circle className={styles.late} data-aside={isSetAside} r="4.5" />
        </At>
      )}
    </svg>
  )
}

/** Draws its children around a place on the line; units are pixels. */
function At({ place, children }: { place: number; children: React.ReactNode }) {
  return (
    <svg x={percent(place)} y="50%" width="1" height="1" overflow="visible" aria-hidden="true">
      {children}
    </svg>
  )
}

function LegendMark({ kind }: { kind: 'plant' | 'other' | 'report' | 'late' }) {
  return (
    <svg className={styles.key} viewBox="-6 -9 12 18" aria-hidden="true" focusable="false">
      {kind === 'plant' && <line className={styles.mark} data-by="plant" y1="-8" y2="8" />}
      {kind === 'other' && <line className={styles.mark} y1="-4" y2="4" />}
      {kind === 'report' && <rect className={styles.report} x="-3.5" y="-3.5" width="7" height="7" />}
      {kind === 'late' && <circle className={styles.late} r="4.5" />}
    </svg>
  )
}

/** What is overdue of a test and when its report is due; otherwise its next step, by when and by whom. */
function NextAct({ line: { owed, overdue, isSetAside }, view }: { line: WeekLine; view: DueView }) {
  const t = useTranslate()
  const { work, person } = view
  const lines = listDueLines([owed], work.asOf)
  const next = overdue ? lines.at(-1) : lines[0]
  if (!next) return null
  const day = formatDayNumber(t, next.dueDay, next.zone, work.asOf)
  return (
    <>
      {overdue ? (
        <span className={isSetAside ? undefined : styles.over}>
          {t(isSetAside ? 'due.weeks.setAside' : 'due.weeks.overdue', {
            act: describeOverdue(t, overdue, work).act,
          })}
        </span>
      ) : (
        describeActs(t, next.acts, owed, work)
      )}
      <span className={styles.more}>
        {overdue
          ? t('due.weeks.reportDue', { day })
          : isResponsible(next.actor, person.roles)
            ? t('due.weeks.mine', { day })
            : t('due.weeks.others', { day, name: getActorName(t, next.actor, work) })}
      </span>
    </>
  )
}

const WEEKS = 14
const DAYS = WEEKS * 7

/** One test as a line over the weeks. Places are shares of the width; a day is at its middle. */
interface WeekLine {
  owed: OwedTest
  /** Its task that has been overdue longest; null without one. */
  overdue: Overdue | null
  /** The overdue task is set aside. */
  isSetAside: boolean
  marks: { acts: ActKind[]; by: Actor['by']; place: number }[]
  from: number
  to: number
  /** The line continues beyond the last week. */
  isOnward: boolean
}

interface WeekChart {
  /** Mondays as day numbers, with their places. */
  mondays: { day: number; place: number }[]
  /** Place of today. */
  today: number
  /** Lines with an overdue task first, then by the first step that is still due. */
  lines: WeekLine[]
}

/** The tests of a view as lines over the weeks that begin with this week’s Monday in `zone`. */
function buildWeekChart(view: DueView, zone: string): WeekChart {
  const { work, filter, person } = view
  const today = toLocalDay(work.asOf, zone)
  const monday = today - ((getWeekday(today) + 6) % 7)
  const toPlace = (day: number) => (day - monday + 0.5) / DAYS
  const toLine = (owed: OwedTest): WeekLine | null => {
    const due = listDueLines([owed], work.asOf).filter(({ actor }) =>
      matchesDueFilter(filter, owed.plant, actor, person),
    )
    const active = work.overdue.find((one) => isForTest(one, owed))
    const setAside = work.setAside.find((one) => isForTest(one.overdue, owed))
    const overdue = active ?? setAside?.overdue ?? null
    const last = due.at(-1)
    const first = due[0]
    if (!first || !last || (overdue === null && toPlace(first.dueDay) > 1)) return null
    return {
      owed,
      overdue,
      isSetAside: active === undefined && setAside !== undefined,
      marks: due
        .filter(({ dueDay }) => toPlace(dueDay) < 1)
        .map(({ acts, actor, dueDay }) => ({ acts, by: actor.by, place: Math.max(0, toPlace(dueDay)) })),
      from: overdue ? toPlace(today) : Math.max(0, toPlace(first.dueDay)),
      to: Math.min(1, toPlace(last.dueDay)),
      isOnward: toPlace(last.dueDay) > 1,
    }
  }
  return {
    mondays: Array.from({ length: WEEKS }, (_, week) => ({
      day: monday + 7 * week,
      place: week / WEEKS,
    })),
    today: toPlace(today),
    lines: work.owed
      .filter(({ plant }) => filter.plant === null || plant === filter.plant)
      .flatMap((owed) => toLine(owed) ?? [])
      .sort(
        (a, b) => Number(b.overdue !== null) - Number(a.overdue !== null) || a.from - b.from || a.to - b.to,
      ),
  }
}
