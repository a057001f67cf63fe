import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { formatDayNumber, formatDeadline } from '@/app/ui/words/instant'
import { toLocalDay } from '@/lib/hold/zone'
import { describeOverdue, getActorHeading, getProductName } from '@/lib/judgement/dueText'
import { isForTest } from '@/lib/judgement/overdue'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import { resolutionPath } from '@/lib/judgement/resolutionPath'
import { mayResolve } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/messages/zoneName'
import { findDeadlineZone } from '@/lib/schedule/deadline'
import { formatLastCut } from '@/lib/schedule/workBack'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import styles from './DueList.module.css'
import type { SetAsideInput } from './dueFilter'
import { type ActionGroup, type DueView, listPressing, type NextTask } from './dueView'
import { getNextKey, NextActItem } from './NextActs'
import { SetAsideForm } from './SetAsideForm'
import { MAX_OVERDUE, ShowAll, takeFirst } from './ShowAll'

interface Props {
  view: DueView
  input: SetAsideInput
}

/**
 * What cannot wait: the viewer’s own, overdue or not, most urgent first. Then what else is theirs (`children`), and what is overdue
 * with others, under the name of whoever has to act.
 */
export function OverdueLists({ view, input, children }: Props & { children?: ReactNode }) {
  const t = useTranslate()
  const { others, filter } = view
  const mine = listPressing(view)
  const shown = limitShown(view, mine, input)
  return (
    <>
      {mine.length > 0 && (
        <section className={styles.section} aria-labelledby="mine">
          <h2 id="mine" className={styles.name}>
            {t('due.mine')}
          </h2>
          {mine.some((task) => getLoss(task) !== null) && (
            <p className={styles.order}>{t('due.mineOrder')}</p>
          )}
          <TaskList tasks={shown.mine} view={view} input={input} />
          <ShowAll count={mine.length - shown.mine.length} message="due.more.tasks" filter={filter} />
        </section>
      )}
      {children}
      {others.length > 0 && (
        <section className={styles.section} aria-labelledby="others">
          <h2 id="others" className={styles.name}>
            {t('due.others')}
          </h2>
          {shown.others.map(({ overdue, actor, count }) => (
            <section key={JSON.stringify(actor)} className={styles.doer}>
              <h3>
                {getActorHeading(t, actor, view.work)} <span>{t('due.groupCount', { count })}</span>
              </h3>
              <TaskList tasks={overdue} view={view} input={input} />
            </section>
          ))}
          <ShowAll count={shown.waiting} message="due.more.tasks" filter={filter} />
        </section>
      )}
    </>
  )
}

/** Cuts long lists: the viewer’s own come first, then what waits for others. */
function limitShown(
  { others, showsAll }: DueView,
  mine: readonly (Overdue | NextTask)[],
  { subject }: SetAsideInput,
) {
  const isTyped = (one: Overdue | NextTask) => 'subject' in one && one.subject === subject
  const max = showsAll ? Number.POSITIVE_INFINITY : MAX_OVERDUE
  const own = takeFirst(mine, max, isTyped)
  let left = Math.max(0, max - own.length)
  let waiting = 0
  const shown: (ActionGroup & { count: number })[] = []
  for (const group of others) {
    const overdue = takeFirst(group.overdue, left, isTyped)
    left = Math.max(0, left - overdue.length)
    waiting += group.overdue.length - overdue.length
    if (overdue.length > 0) shown.push({ ...group, overdue: [...overdue], count: group.overdue.length })
  }
  return { mine: own, others: shown, waiting }
}

function TaskList({ tasks, view, input }: Props & { tasks: readonly (Overdue | NextTask)[] }) {
  return (
    <ul className={styles.list}>
      {tasks.map((one) =>
        'subject' in one ? (
          <OverdueItem key={one.subject} overdue={one} view={view} input={input} />
        ) : (
          <NextActItem key={getNextKey(one)} task={one} view={view} />
        ),
      )}
    </ul>
  )
}

/** What can still be saved by a task. */
const getLoss = (task: Overdue | NextTask) => ('subject' in task ? task.loss : task.act.loss)

function OverdueItem({ overdue, view, input }: Props & { overdue: Overdue }) {
  const t = useTranslate()
  const { sinceAt, zone, actor } = overdue
  return (
    <li>
      <p className={styles.day}>
        {t('due.daysAgo', { days: countDaysAgo(overdue, view.work) })}
        <span className={styles.quiet}>
          {rich(t, 'due.since', {
            day: <Day at={sinceAt} zone={zone} now={view.work.asOf} />,
            place: formatZone(zone),
          })}
        </span>
      </p>
      <OverdueLine overdue={overdue} view={view} />
      {mayResolve(actor, view.person.roles) && (
        <SetAsideForm overdue={overdue} summary={t('due.setAside.open')} input={input} filter={view.filter} />
      )}
    </li>
  )
}

/** The number of local days for which a task has been overdue. */
function countDaysAgo({ sinceAt, zone }: Overdue, { asOf }: DueWork): number {
  return Math.max(0, toLocalDay(asOf, zone) - toLocalDay(sinceAt, zone))
}

/** What to do, linked to the page that settles it, with the reason and what it is about. */
export function OverdueLine({ overdue, view }: { overdue: Overdue; view: DueView }) {
  const t = useTranslate()
  const { work, person, hasSeveralPlants } = view
  const { act, why } = describeOverdue(t, overdue, work)
  const path = resolutionPath(overdue, person.roles)
  const about = [
    overdue.product !== null && overdue.sample !== null && getProductName(t, overdue.product, work),
    hasSeveralPlants && work.places.get(overdue.plant),
    formatReportDue(t, overdue, view),
  ]
  const { loss } = overdue
  return (
    <p className={styles.what}>
      {path.startsWith('/due') ? <b>{act}</b> : <Link href={path}>{act}</Link>}. {why}
      {loss?.kind === 'sample' &&
        ` ${t('due.holdLimit', { deadline: formatHoldLimit(t, loss, overdue, work) })}`}
      {loss?.kind === 'report' &&
        loss.lastCut &&
        ` ${formatLastCut(t, loss.lastCut, 'it', (day, zone) => formatDayNumber(t, day, zone, work.asOf))}`}
      <span className={styles.quiet}>{about.filter((one) => one).join(' · ')}</span>
    </p>
  )
}

/** When a hold limit ends, in the zone in which it is the end of a day: the laboratory’s or the plant’s. */
function formatHoldLimit(
  t: Translate,
  { at, zone }: { at: number; zone: string },
  { plant }: Overdue,
  { zones, asOf }: DueWork,
) {
  return formatDeadline(t, at, findDeadlineZone(at, [zone, zones.get(plant) ?? zone]), asOf)
}

/** When the report of the delayed test is due; null if no owed test is delayed. */
function formatReportDue(t: Translate, overdue: Overdue, { work }: DueView): string | null {
  const owed = work.owed.find((one) => isForTest(overdue, one))
  const report = owed?.acts.at(-1)
  return report
    ? t('due.reportDue', { day: formatDayNumber(t, report.dueDay, report.zone, work.asOf) })
    : null
}
