import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import filters from '@/app/ui/Filters.module.css'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import { spellNumber } from '@/app/ui/words/number'
import { toLocalDay } from '@/lib/hold/zone'
import { describeActs, getActorName, getProductName } from '@/lib/judgement/dueText'
import { duePath } from '@/lib/judgement/resolutionPath'
import { isResponsible, mayResolve } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import { isForTest } from '@/lib/schedule/overdue'
import { asksToCut } from '@/lib/schedule/overdueKinds'
import type { DueLine } from '@/lib/schedule/owedTests'
import { formatZone } from '@/lib/schedule/zoneName'
import dueList from './DueList.module.css'
import styles from './DueReport.module.css'
import { DueWeeks } from './DueWeeks'
import { type DueFilter, formatDueUrl, type OwnerFilter, type SetAsideInput } from './dueFilter'
import { formatDaysAhead, formatDueSummary } from './dueSummary'
import type { DueView } from './dueView'
import { OverdueLine, OverdueLists } from './OverdueLists'
import { SetAsideForm } from './SetAsideForm'
import { MAX_ACTS, ShowAll, takeFirst } from './ShowAll'

const SOON_DAYS = 14

/** All that is overdue and due: first what is the reader's to do, then others', then what is to come. */
export function DueReport({
  view,
  zone,
  leaving,
  isGone,
  empty,
  children,
}: {
  view: DueView
  /** In which the reader reads times. */
  zone: string
  leaving: SetAsideInput
  /** Something was to be left aside that is not overdue any more. */
  isGone: boolean
  /** What to say where nothing is shown at all. */
  empty: ReactNode
  children?: ReactNode
}) {
  const t = useTranslate()
  const { work, mine, others, setAside: aside, coming, filter } = view
  const { asOf } = work
  const waiting = others.reduce((sum, { overdue }) => sum + overdue.length, 0)
  const soon = coming.filter(({ dueDay, zone: of }) => dueDay - toLocalDay(asOf, of) <= SOON_DAYS).length
  const isEmpty = mine.length + waiting + aside.length + coming.length === 0
  const isFiltered = filter.plant !== null || filter.by !== null
  const { heading, rest } = formatDueSummary(t, {
    mine: mine.length,
    others: waiting,
    aside: aside.length,
    coming: soon,
  })
  return (
    <>
      <div className={styles.head}>
        <p className={styles.when}>
          <time dateTime={new Date(asOf).toISOString()}>{formatLongInstant(t, asOf, zone, asOf)}</time>
        </p>
        <h1>{isEmpty && isFiltered ? 'Nothing that is due fits this choice.' : heading}</h1>
        {!isEmpty && <p className={styles.rest}>{rest}</p>}
      </div>
      {(!isEmpty || isFiltered) && <DueFilters filter={filter} plants={view.plants} />}
      {isGone && <p role="status">Nothing was left aside: it is not overdue any more.</p>}
      {isEmpty && (isFiltered ? <NoMatches /> : empty)}
      <OverdueLists view={view} leaving={leaving} />
      {asksToCutSoon(view) && <CuttingCaution />}
      <SetAsideList view={view} leaving={leaving} zone={zone} />
      {coming.length > 0 && (
        <>
          <DueWeeks view={view} zone={zone} />
          <DueDays view={view} zone={zone} />
        </>
      )}
      {children}
    </>
  )
}

function NoMatches() {
  return (
    <p className="prose">
      <a href={formatDueUrl({ plant: null, by: null })}>Clear it</a> to see all that is due.
    </p>
  )
}

/** Whether the reader is asked to cut something, now or on one of the days to come. */
function asksToCutSoon({ mine, coming, person }: DueView): boolean {
  const isToCut = coming.some(({ acts, actor }) => acts.includes('cut') && isResponsible(actor, person.roles))
  return isToCut || mine.some(({ kind }) => asksToCut(kind))
}

/** What is overdue and left aside for a while, with the reason and until when. */
function SetAsideList({ view, leaving, zone }: { view: DueView; leaving: SetAsideInput; zone: string }) {
  const t = useTranslate()
  const { setAside: aside, work } = view
  if (aside.length === 0) return null
  return (
    <section className={dueList.section} aria-labelledby="aside">
      <h2 id="aside" className={dueList.name}>
        Left aside
      </h2>
      <ul className={dueList.list}>
        {aside.map(({ overdue, snooze }) => (
          <li key={overdue.subject}>
            <p className={dueList.day}>
              until <Day at={snooze.untilAt} zone={overdue.zone} now={work.asOf} />
              <span className={dueList.quiet}>{formatZone(overdue.zone)}</span>
            </p>
            <div>
              <OverdueLine overdue={overdue} view={view} />
              <p className={dueList.reason}>
                “{snooze.reason}” <span className={dueList.by}>{snooze.by}, </span>
                <span className={dueList.by}>
                  <Day at={snooze.madeAt} zone={zone} now={work.asOf} />.{' '}
                  {capitalised(getActorName(t, overdue.actor, work))} has to act.
                </span>
              </p>
            </div>
            {mayResolve(overdue.actor, view.person.roles) && (
              <SetAsideForm overdue={overdue} summary="Change" leaving={leaving} filter={view.filter} />
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

const OWNER_LABELS: [OwnerFilter, string][] = [
  ['me', 'me'],
  ['programme', 'the programme'],
  ['plant', 'plants'],
  ['laboratory', 'laboratories'],
]

/** Of which plant and by whom, as a plain form whose choice stands in the address. */
function DueFilters({
  filter,
  plants,
}: {
  filter: DueFilter
  plants: readonly { code: string; name: string }[]
}) {
  const isKnown = filter.plant === null || plants.some(({ code }) => code === filter.plant)
  return (
    <search className={styles.filters}>
      <form action="/due" className={filters.filters}>
        {(plants.length > 1 || filter.plant !== null) && (
          <label>
            <span>Plant</span>
            <select name="plant" defaultValue={filter.plant ?? ''}>
              <option value="">any</option>
              {!isKnown && <option>{filter.plant}</option>}
              {plants.map(({ code, name }) => (
                <option key={code} value={code}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        )}
        <label>
          <span>To be done by</span>
          <select name="by" defaultValue={filter.by ?? ''}>
            <option value="">anyone</option>
            {OWNER_LABELS.map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <button type="submit">Show</button>
        {(filter.plant !== null || filter.by !== null) && <a href="/due">Clear</a>}
      </form>
    </search>
  )
}

/** How far ahead days are shown without being asked for. */
const NEAR_DAYS = 28

/** What is due, under the day on which it is due: the local day of who has to do it. */
function DueDays({ view, zone }: { view: DueView; zone: string }) {
  const t = useTranslate()
  const today = toLocalDay(view.work.asOf, zone)
  const near = view.coming.filter(({ dueDay }) => dueDay <= today + NEAR_DAYS)
  const far = view.coming.slice(near.length)
  const most = view.showsAll ? Number.POSITIVE_INFINITY : MAX_ACTS
  const shown = takeFirst(near, most)
  const later = takeFirst(far, most - shown.length)
  return (
    <section className={dueList.section} aria-labelledby="days">
      <h2 id="days" className={dueList.name}>
        Day by day
      </h2>
      {near.length === 0 && <p>Nothing is due within four weeks.</p>}
      <Days lines={shown} view={view} today={today} />
      {later.length > 0 && (
        <details className={dueList.later} open={near.length === 0}>
          <summary>{capitalised(spellNumber(t, far.length))} more due later</summary>
          <Days lines={later} view={view} today={today} />
        </details>
      )}
      <ShowAll count={view.coming.length - shown.length - later.length} one="act" filter={view.filter} />
    </section>
  )
}

function Days({ lines, view, today }: { lines: readonly DueLine[]; view: DueView; today: number }) {
  const t = useTranslate()
  const days = new Map<number, DueLine[]>()
  for (const line of lines) days.set(line.dueDay, [...(days.get(line.dueDay) ?? []), line])
  return (
    <ul className={dueList.list}>
      {[...days].map(([day, due]) => (
        <li key={day}>
          <p className={dueList.day}>
            {formatDayNumber(t, day, 'UTC', view.work.asOf)}
            <span className={dueList.quiet}>{formatDaysAhead(t, day - today)}</span>
          </p>
          <ul className={dueList.acts}>
            {due.map((line) => (
              <li key={`${line.owed.duty} ${line.owed.number} ${line.acts[0]}`}>
                <DueLineText line={line} view={view} />
              </li>
            ))}
          </ul>
        </li>
      ))}
    </ul>
  )
}

function DueLineText({ line, view }: { line: DueLine; view: DueView }) {
  const t = useTranslate()
  const { owed, acts, actor, zone } = line
  const { work, person, hasSeveralPlants: isOfSeveral } = view
  const act = describeActs(t, acts, owed, work)
  const path = duePath(line, person.roles)
  const about = [
    owed.kit !== null && getProductName(t, owed.product, work),
    isOfSeveral && work.places.get(owed.plant),
    formatZone(zone),
    formatBlocker(t, line, view),
  ]
  return (
    <p className={dueList.what}>
      {path.startsWith('/due') ? act : <Link href={path}>{act}</Link>}
      {isResponsible(actor, person.roles) ? ', yours to do' : `, by ${getActorName(t, actor, work)}`}
      <span className={dueList.quiet}>{about.filter((one) => one).join(' · ')}</span>
    </p>
  )
}

/** That an earlier act of the same test is overdue, so that this one can hardly be in time; null where none is. */
function formatBlocker(t: Translate, { owed }: DueLine, { work }: DueView): string | null {
  if (work.overdue.some((one) => isForTest(one, owed))) return 'what comes before it is overdue'
  const isAside = work.setAside.some(({ overdue }) => isForTest(overdue, owed))
  return isAside ? 'what comes before it is left aside' : null
}
