import { useTranslate } from '#translate'
import { formatDayNumber, formatShortDay } from '@/app/ui/words/instant'
import { getWeekday, toLocalDay } from '@/lib/hold/zone'
import { describeActs, describeOverdue, getActorName, getProductName } from '@/lib/judgement/dueText'
import { isResponsible } from '@/lib/judgement/responsibility'
import type { ActKind, Actor } from '@/lib/schedule/act'
import { isForTest } from '@/lib/schedule/overdue'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { listDueLines, type OwedTest } from '@/lib/schedule/owedTests'
import { toIsoWeek } from '@/lib/schedule/sendTime'
import styles from './DueWeeks.module.css'
import { matchesDueFilter } from './dueFilter'
import type { DueView } from './dueView'
import { MAX_TESTS, ShowAll, takeFirst } from './ShowAll'

const percent = (share: number) => `${(share * 100).toFixed(2)}%`

/**
 * The tests that are owed as lines over the coming weeks, under their plants. The words beside each say its next act,
 * and the list below says all of them, so the picture can be missing, as it is on a phone.
 */
export function DueWeeks({ view, zone }: { view: DueView; zone: string }) {
  const t = useTranslate()
  const picture = buildWeekChart(view, zone)
  if (picture.lines.length === 0) return null
  const lines = takeFirst(picture.lines, view.showsAll ? Number.POSITIVE_INFINITY : MAX_TESTS)
  return (
    <section className={styles.weeks} aria-labelledby="weeks">
      <h2 id="weeks" className={styles.title}>
        Week by week
      </h2>
      <p className={styles.legend}>
        A line is one test, through its last act. <LegendMark kind="plant" /> an act at the plant,{' '}
        <LegendMark kind="other" /> at the laboratory or the programme, <LegendMark kind="report" /> its
        report. <LegendMark kind="late" /> something of it is overdue.
      </p>
      <div className={styles.axisRow}>
        <Axis picture={picture} />
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
              <Strip line={line} picture={picture} />
            </span>
            <span className={styles.say}>
              <NextAct line={line} view={view} />
            </span>
          </li>
        ))}
      </ul>
      <ShowAll count={picture.lines.length - lines.length} one="test" filter={view.filter} />
    </section>
  )
}

function Axis({ picture: { mondays } }: { picture: WeekChart }) {
  const t = useTranslate()
  return (
    <svg className={styles.axis} aria-hidden="true" focusable="false">
      {mondays.map(({ day, place }, index) => (
        <g key={day} className={styles.tick} data-minor={index % 2 === 1}>
          <text x={percent(place)} y="38%">
            W{toIsoWeek(day).week}
          </text>
          <text x={percent(place)} y="84%">
            {formatShortDay(t, day)}
          </text>
        </g>
      ))}
    </svg>
  )
}

function Strip({ line, picture: { mondays, today } }: { line: WeekLine; picture: WeekChart }) {
  const { marks, from, to, overdue, isAside, isOnward } = line
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
          <circle className={styles.late} data-aside={isAside} r="4.5" />
        </At>
      )}
    </svg>
  )
}

/** Draws its children around a place on the line, in pixels. */
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

/** What is overdue of a test and when its report is due; else its next act, with by when and whom. */
function NextAct({ line: { owed, overdue, isAside }, view }: { line: WeekLine; view: DueView }) {
  const t = useTranslate()
  const { work, person } = view
  const lines = listDueLines([owed], work.asOf)
  const next = overdue ? lines.at(-1) : lines[0]
  if (!next) return null
  const day = formatDayNumber(t, next.dueDay, next.zone, work.asOf)
  return (
    <>
      {overdue ? (
        <span className={isAside ? undefined : styles.over}>
          {isAside ? 'Left aside' : 'Overdue'}: {describeOverdue(t, overdue, work).act}
        </span>
      ) : (
        describeActs(t, next.acts, owed, work)
      )}
      <span className={styles.more}>
        {overdue
          ? `its report is due ${day}`
          : `by ${day}, ${isResponsible(next.actor, person.roles) ? 'yours' : getActorName(t, next.actor, work)}`}
      </span>
    </>
  )
}

/** How many weeks are drawn. */
const WEEKS = 14
const DAYS = WEEKS * 7

/** One test as a line over the weeks; places are shares of the width, a day's place its middle. */
interface WeekLine {
  owed: OwedTest
  /** What is overdue of it now, the longest; null where nothing is. */
  overdue: Overdue | null
  /** That is left aside for a while. */
  isAside: boolean
  marks: { acts: ActKind[]; by: Actor['by']; place: number }[]
  /** Where the line begins and ends. */
  from: number
  to: number
  /** It goes on beyond the last week. */
  isOnward: boolean
}

interface WeekChart {
  /** The Mondays, as day numbers, with their places. */
  mondays: { day: number; place: number }[]
  /** Where today is. */
  today: number
  /** Those with something overdue first, then by the first act that is still due. */
  lines: WeekLine[]
}

/** The tests that a view shows as lines over the weeks from the Monday of today in `zone` on. */
function buildWeekChart(view: DueView, zone: string): WeekChart {
  const { work, filter, person } = view
  const today = toLocalDay(work.asOf, zone)
  const monday = today - ((getWeekday(today) + 6) % 7)
  const placeOf = (day: number) => (day - monday + 0.5) / DAYS
  const lineOf = (owed: OwedTest): WeekLine | null => {
    const due = listDueLines([owed], work.asOf).filter(({ actor }) =>
      matchesDueFilter(filter, owed.plant, actor, person),
    )
    const pressing = work.overdue.find((one) => isForTest(one, owed))
    const aside = work.setAside.find((one) => isForTest(one.overdue, owed))
    const overdue = pressing ?? aside?.overdue ?? null
    const last = due.at(-1)
    const first = due[0]
    if (!first || !last || (overdue === null && placeOf(first.dueDay) > 1)) return null
    return {
      owed,
      overdue,
      isAside: pressing === undefined && aside !== undefined,
      marks: due
        .filter(({ dueDay }) => placeOf(dueDay) < 1)
        .map(({ acts, actor, dueDay }) => ({ acts, by: actor.by, place: Math.max(0, placeOf(dueDay)) })),
      from: overdue ? placeOf(today) : Math.max(0, placeOf(first.dueDay)),
      to: Math.min(1, placeOf(last.dueDay)),
      isOnward: placeOf(last.dueDay) > 1,
    }
  }
  return {
    mondays: Array.from({ length: WEEKS }, (_, week) => ({
      day: monday + 7 * week,
      place: week / WEEKS,
    })),
    today: placeOf(today),
    lines: work.owed
      .filter(({ plant }) => filter.plant === null || plant === filter.plant)
      .flatMap((owed) => lineOf(owed) ?? [])
      .sort(
        (a, b) => Number(b.overdue !== null) - Number(a.overdue !== null) || a.from - b.from || a.to - b.to,
      ),
  }
}
