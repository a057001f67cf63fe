import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import filters from '@/app/ui/Filters.module.css'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import { toLocalDay } from '@/lib/hold/zone'
import { isCutting } from '@/lib/judgement/acts'
import { describeActs, getActorName, getProductName } from '@/lib/judgement/dueText'
import { isForTest } from '@/lib/judgement/overdue'
import { duePath } from '@/lib/judgement/resolutionPath'
import { isResponsible, mayResolve } from '@/lib/judgement/responsibility'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/messages/zoneName'
import type { DueLine } from '@/lib/schedule/owedTests'
import dueList from './DueList.module.css'
import styles from './DueReport.module.css'
import { DueWeeks } from './DueWeeks'
import { type DueFilter, formatDueUrl, type OwnerFilter, type SetAsideInput } from './dueFilter'
import { formatDueSummary } from './dueSummary'
import { countSoon, type DueView } from './dueView'
import { MissingRanges } from './MissingRanges'
import { NextActs } from './NextActs'
import { OverdueLine, OverdueLists } from './OverdueLists'
import { SetAsideForm } from './SetAsideForm'
import { MAX_STEPS, ShowAll, takeFirst } from './ShowAll'

/** All that is overdue and due: first the viewer’s own tasks, then others’, then what is coming. */
export function DueReport({
  view,
  zone,
  input,
  isGone,
  empty,
  children,
}: {
  view: DueView
  /** The viewer’s time zone. */
  zone: string
  input: SetAsideInput
  /** The task that was to be set aside is no longer overdue. */
  isGone: boolean
  /** Shown when there is nothing due at all. */
  empty: ReactNode
  children?: ReactNode
}) {
  const t = useTranslate()
  const { work, mine, next, others, setAside, coming, filter } = view
  const { asOf } = work
  const waiting = others.reduce((sum, { overdue }) => sum + overdue.length, 0)
  const isEmpty = mine.length + next.length + waiting + setAside.length + coming.length === 0
  const isFiltered = filter.plant !== null || filter.by !== null
  const { heading, rest } = formatDueSummary(t, {
    mine: mine.length,
    pressing: next.filter(({ act }) => act.isUrgent).length,
    others: waiting,
    setAside: setAside.length,
    coming: countSoon(view),
  })
  return (
    <>
      <div className={styles.head}>
        <p className={styles.when}>
          <time dateTime={new Date(asOf).toISOString()}>{formatLongInstant(t, asOf, zone, asOf)}</time>
        </p>
        <h1>{isEmpty && isFiltered ? t('due.heading.noMatch') : heading}</h1>
        {!isEmpty && <p className={styles.rest}>{rest}</p>}
      </div>
      {(!isEmpty || isFiltered) && <DueFilters filter={filter} plants={view.plants} />}
      {view.person.roles.isAdministrator && <MissingRanges protocols={work.missingRanges} />}
      {isGone && <p role="status">{t('due.gone')}</p>}
      {isEmpty && (isFiltered ? <NoMatches /> : empty)}
      <OverdueLists view={view} input={input}>
        <NextActs view={view} />
      </OverdueLists>
      {asksToCutSoon(view) && <CuttingCaution />}
      <SetAsideList view={view} input={input} zone={zone} />
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
  const t = useTranslate()
  const href = formatDueUrl({ plant: null, by: null })
  return <p className="prose">{rich(t, 'due.clearFilter', { clear: (text) => <a href={href}>{text}</a> })}</p>
}

/** Whether the viewer has to cut something, now or on one of the coming days. */
function asksToCutSoon({ mine, next, coming, person }: DueView): boolean {
  const isToCut = coming.some(({ acts, actor }) => acts.includes('cut') && isResponsible(actor, person.roles))
  return isToCut || next.some(({ act }) => isCutting(act.act)) || mine.some(({ act }) => isCutting(act))
}

/** The overdue tasks that are set aside, with the reason and until when. */
function SetAsideList({ view, input, zone }: { view: DueView; input: SetAsideInput; zone: string }) {
  const t = useTranslate()
  const { setAside, work } = view
  if (setAside.length === 0) return null
  return (
    <section className={dueList.section} aria-labelledby="aside">
      <h2 id="aside" className={dueList.name}>
        {t('due.setAside.title')}
      </h2>
      <ul className={dueList.list}>
        {setAside.map(({ overdue, entry }) => (
          <li key={overdue.subject}>
            <p className={dueList.day}>
              {rich(t, 'due.setAside.untilDay', {
                day: <Day at={entry.untilAt} zone={overdue.zone} now={work.asOf} />,
              })}
              <span className={dueList.quiet}>{formatZone(overdue.zone)}</span>
            </p>
            <div>
              <OverdueLine overdue={overdue} view={view} />
              <p className={dueList.reason}>
                {rich(t, 'due.setAside.reasonBy', {
                  reason: entry.reason,
                  name: entry.by,
                  day: <Day at={entry.madeAt} zone={zone} now={work.asOf} />,
                  by: (text) => <span className={dueList.by}>{text}</span>,
                })}
                {' · '}
                <span className={dueList.by}>
                  {t('due.setAside.responsible', { name: getActorName(t, overdue.actor, work) })}
                </span>
              </p>
            </div>
            {mayResolve(overdue.actor, view.person.roles) && (
              <SetAsideForm
                overdue={overdue}
                summary={t('due.setAside.change')}
                input={input}
                filter={view.filter}
              />
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

const OWNER_LABELS = {
  me: 'due.owner.me',
  programme: 'due.owner.programme',
  plant: 'due.owner.plant',
  laboratory: 'due.owner.laboratory',
} as const satisfies Record<OwnerFilter, MessageKey>

/** Filters by plant and by who is responsible: a plain form whose choice is in the address. */
function DueFilters({
  filter,
  plants,
}: {
  filter: DueFilter
  plants: readonly { code: string; name: string }[]
}) {
  const t = useTranslate()
  const isKnown = filter.plant === null || plants.some(({ code }) => code === filter.plant)
  return (
    <search className={styles.filters}>
      <form action="/due" className={filters.filters}>
        {(plants.length > 1 || filter.plant !== null) && (
          <label>
            <span>{t('due.filter.plant')}</span>
            <select name="plant" defaultValue={filter.plant ?? ''}>
              <option value="">{t('due.filter.anyPlant')}</option>
              {!isKnown && <option value={filter.plant ?? ''}>{filter.plant}</option>}
              {plants.map(({ code, name }) => (
                <option key={code} value={code}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        )}
        <label>
          <span>{t('due.filter.owner')}</span>
          <select name="by" defaultValue={filter.by ?? ''}>
            <option value="">{t('due.filter.anyone')}</option>
            {Object.entries(OWNER_LABELS).map(([value, label]) => (
              <option key={value} value={value}>
                {t(label)}
              </option>
            ))}
          </select>
        </label>
        <button type="submit">{t('due.filter.show')}</button>
        {(filter.plant !== null || filter.by !== null) && <a href="/due">{t('due.filter.clear')}</a>}
      </form>
    </search>
  )
}

/** Days further ahead are folded. */
const NEAR_DAYS = 28

/** What is due, day by day; a day is the local day of whoever has to act. */
function DueDays({ view, zone }: { view: DueView; zone: string }) {
  const t = useTranslate()
  const today = toLocalDay(view.work.asOf, zone)
  const near = view.coming.filter(({ dueDay }) => dueDay <= today + NEAR_DAYS)
  const far = view.coming.slice(near.length)
  const max = view.showsAll ? Number.POSITIVE_INFINITY : MAX_STEPS
  const shown = takeFirst(near, max)
  const later = takeFirst(far, max - shown.length)
  return (
    <section className={dueList.section} aria-labelledby="days">
      <h2 id="days" className={dueList.name}>
        {t('due.days.title')}
      </h2>
      {near.length === 0 && <p>{t('due.days.none')}</p>}
      <Days lines={shown} view={view} today={today} />
      {later.length > 0 && (
        <details className={dueList.later} open={near.length === 0}>
          <summary>{t('due.days.later', { count: far.length })}</summary>
          <Days lines={later} view={view} today={today} />
        </details>
      )}
      <ShowAll
        count={view.coming.length - shown.length - later.length}
        message="due.more.steps"
        filter={view.filter}
      />
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
            <span className={dueList.quiet}>{t('due.daysAhead', { days: Math.max(0, day - today) })}</span>
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
  const { work, person, hasSeveralPlants } = view
  const text = describeActs(t, acts, owed, work)
  const path = duePath(line, person.roles)
  const act = path.startsWith('/due') ? text : <Link href={path}>{text}</Link>
  const about = [
    owed.kit !== null && getProductName(t, owed.product, work),
    hasSeveralPlants && work.places.get(owed.plant),
    formatZone(zone),
    formatBlocker(t, line, view),
  ]
  return (
    <p className={dueList.what}>
      {isResponsible(actor, person.roles)
        ? rich(t, 'due.step.mine', { act })
        : rich(t, 'due.step.others', { act, name: getActorName(t, actor, work) })}
      <span className={dueList.quiet}>{about.filter((one) => one).join(' · ')}</span>
    </p>
  )
}

/** A note that an earlier step of the same test is overdue or set aside, so that this one can hardly be in time. */
function formatBlocker(t: Translate, { owed }: DueLine, { work }: DueView): string | null {
  if (work.overdue.some((one) => isForTest(one, owed))) return t('due.step.earlierOverdue')
  const isSetAside = work.setAside.some(({ overdue }) => isForTest(overdue, owed))
  return isSetAside ? t('due.step.earlierSetAside') : null
}
