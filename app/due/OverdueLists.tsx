import { useTranslate } from '#translate'
import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { formatDayNumber, formatDeadline } from '@/app/ui/words/instant'
import { spellCount } from '@/app/ui/words/number'
import { toLocalDay } from '@/lib/hold/zone'
import { describeOverdue, getProductName } from '@/lib/judgement/dueText'
import { resolutionPath } from '@/lib/judgement/resolutionPath'
import { mayResolve } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import { findDeadlineZone } from '@/lib/schedule/deadline'
import { capitalised } from '@/lib/schedule/firstLetter'
import { isForTest } from '@/lib/schedule/overdue'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { formatLastCut } from '@/lib/schedule/workBack'
import { formatZone } from '@/lib/schedule/zoneName'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import styles from './DueList.module.css'
import type { SetAsideInput } from './dueFilter'
import { formatDaysAgo } from './dueSummary'
import type { ActionGroup, DueView } from './dueView'
import { SetAsideForm } from './SetAsideForm'
import { MAX_OVERDUE, ShowAll, takeFirst } from './ShowAll'

interface Props {
  view: DueView
  leaving: SetAsideInput
}

/** What is overdue: the reader's own, most pressing first, then others', under the name of who has to do it. */
export function OverdueLists({ view, leaving }: Props) {
  const t = useTranslate()
  const { mine, others, filter } = view
  const shown = limitShown(view, leaving)
  return (
    <>
      {mine.length > 0 && (
        <section className={styles.section} aria-labelledby="mine">
          <h2 id="mine" className={styles.name}>
            Yours to do
          </h2>
          {mine.some(({ subject }) => view.losses.has(subject)) && (
            <p className={styles.order}>
              First what can still be saved, the soonest lost first; then what merely is late, the longest
              first.
            </p>
          )}
          <OverdueList overdue={shown.mine} view={view} leaving={leaving} />
          <ShowAll count={mine.length - shown.mine.length} one="thing" filter={filter} />
        </section>
      )}
      {others.length > 0 && (
        <section className={styles.section} aria-labelledby="others">
          <h2 id="others" className={styles.name}>
            Waiting for others
          </h2>
          {shown.others.map(({ name, overdue, actor, count }) => (
            <section key={JSON.stringify(actor)} className={styles.doer}>
              <h3>
                {capitalised(name)} <span>{spellCount(t, count, 'thing')}</span>
              </h3>
              <OverdueList overdue={overdue} view={view} leaving={leaving} />
            </section>
          ))}
          <ShowAll count={shown.waiting} one="thing" filter={filter} />
        </section>
      )}
    </>
  )
}

/** What of a long list is shown: the reader's own first, then what waits for others. */
function limitShown({ mine, others, showsAll: isWhole }: DueView, { subject }: SetAsideInput) {
  const isTyped = (one: Overdue) => one.subject === subject
  const most = isWhole ? Number.POSITIVE_INFINITY : MAX_OVERDUE
  const own = takeFirst(mine, most, isTyped)
  let left = Math.max(0, most - own.length)
  let waiting = 0
  const shown: (ActionGroup & { count: number })[] = []
  for (const doing of others) {
    const overdue = takeFirst(doing.overdue, left, isTyped)
    left = Math.max(0, left - overdue.length)
    waiting += doing.overdue.length - overdue.length
    if (overdue.length > 0) shown.push({ ...doing, overdue: [...overdue], count: doing.overdue.length })
  }
  return { mine: own, others: shown, waiting }
}

function OverdueList({ overdue, view, leaving }: Props & { overdue: readonly Overdue[] }) {
  const t = useTranslate()
  return (
    <ul className={styles.list}>
      {overdue.map((one) => (
        <li key={one.subject}>
          <p className={styles.day}>
            {formatDaysAgo(t, toLocalDay(view.work.asOf, one.zone) - toLocalDay(one.sinceAt, one.zone))}
            <span className={styles.quiet}>
              since <Day at={one.sinceAt} zone={one.zone} now={view.work.asOf} />, {formatZone(one.zone)}
            </span>
          </p>
          <OverdueLine overdue={one} view={view} />
          {mayResolve(one.actor, view.person.roles) && (
            <SetAsideForm overdue={one} summary="Leave aside" leaving={leaving} filter={view.filter} />
          )}
        </li>
      ))}
    </ul>
  )
}

/** What to do, as a link to where it is settled, why, and what it is about. */
export function OverdueLine({ overdue, view }: { overdue: Overdue; view: DueView }) {
  const t = useTranslate()
  const { work, person, hasSeveralPlants: isOfSeveral } = view
  const { act, why } = describeOverdue(t, overdue, work)
  const path = resolutionPath(overdue, person.roles)
  const about = [
    overdue.product !== null && overdue.sample !== null && getProductName(t, overdue.product, work),
    isOfSeveral && work.places.get(overdue.plant),
    formatReportDue(t, overdue, view),
  ]
  const loss = view.losses.get(overdue.subject)
  return (
    <p className={styles.what}>
      {path.startsWith('/due') ? <b>{act}</b> : <Link href={path}>{act}</Link>}: {why}.
      {loss?.kind === 'sample' && ` Its hold limit is ${formatLoss(t, loss, overdue, work)}.`}
      {loss?.lastCut &&
        ` ${formatLastCut(t, loss.lastCut, 'Its report', 'it', (day, zone) => formatDayNumber(t, day, zone, work.asOf))}`}
      <span className={styles.quiet}>{about.filter((one) => one).join(' · ')}</span>
    </p>
  )
}

/** By when a sample is lost, told where a day ends with it: at the laboratory or at the plant. */
function formatLoss(
  t: Translate,
  { at, zone }: { at: number; zone: string },
  { plant }: Overdue,
  { zones, asOf }: DueWork,
) {
  return formatDeadline(t, at, findDeadlineZone(at, [zone, zones.get(plant) ?? zone]), asOf)
}

/** When the report of the test is due that it holds up; null where it holds up none that is owed. */
function formatReportDue(t: Translate, overdue: Overdue, { work }: DueView): string | null {
  const owed = work.owed.find((one) => isForTest(overdue, one))
  const report = owed?.acts.at(-1)
  return report ? `report due ${formatDayNumber(t, report.dueDay, report.zone, work.asOf)}` : null
}
