import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import { dayNumberWords, deadlineWords } from '@/app/ui/words/instantWords'
import { countOf } from '@/app/ui/words/numberWords'
import { localDay } from '@/lib/hold/zone'
import { overdueWords, productName } from '@/lib/judgement/dueWords'
import { maySettle } from '@/lib/judgement/hasToAct'
import { settlingPath } from '@/lib/judgement/settlingPath'
import { deadlineZone } from '@/lib/schedule/deadline'
import { capitalised } from '@/lib/schedule/firstLetter'
import { isOfTest } from '@/lib/schedule/overdue'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { placeName } from '@/lib/schedule/placeName'
import { lastCutWords } from '@/lib/schedule/workBack'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import styles from './DueList.module.css'
import { DueMore, firstOf, MOST_OVERDUE } from './DueMore'
import type { Leaving } from './dueFilter'
import { agoWords } from './dueHeadWords'
import type { Doing, DueView } from './dueView'
import { LeaveAside } from './LeaveAside'

interface Props {
  view: DueView
  leaving: Leaving
}

/** What is overdue: the reader's own, most pressing first, then others', under the name of who has to do it. */
export function DueOverdue({ view, leaving }: Props) {
  const { mine, others, filter } = view
  const shown = shownOf(view, leaving)
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
          <List overdue={shown.mine} view={view} leaving={leaving} />
          <DueMore count={mine.length - shown.mine.length} one="thing" filter={filter} />
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
                {capitalised(name)} <span>{countOf(count, 'thing')}</span>
              </h3>
              <List overdue={overdue} view={view} leaving={leaving} />
            </section>
          ))}
          <DueMore count={shown.waiting} one="thing" filter={filter} />
        </section>
      )}
    </>
  )
}

/** What of a long list is shown: the reader's own first, then what waits for others. */
function shownOf({ mine, others, isWhole }: DueView, { subject }: Leaving) {
  const isTyped = (one: Overdue) => one.subject === subject
  const most = isWhole ? Number.POSITIVE_INFINITY : MOST_OVERDUE
  const own = firstOf(mine, most, isTyped)
  let left = Math.max(0, most - own.length)
  let waiting = 0
  const shown: (Doing & { count: number })[] = []
  for (const doing of others) {
    const overdue = firstOf(doing.overdue, left, isTyped)
    left = Math.max(0, left - overdue.length)
    waiting += doing.overdue.length - overdue.length
    if (overdue.length > 0) shown.push({ ...doing, overdue: [...overdue], count: doing.overdue.length })
  }
  return { mine: own, others: shown, waiting }
}

function List({ overdue, view, leaving }: Props & { overdue: readonly Overdue[] }) {
  return (
    <ul className={styles.list}>
      {overdue.map((one) => (
        <li key={one.subject}>
          <p className={styles.day}>
            {agoWords(localDay(view.work.asOf, one.zone) - localDay(one.sinceAt, one.zone))}
            <span className={styles.quiet}>
              since <Day at={one.sinceAt} zone={one.zone} now={view.work.asOf} />, {placeName(one.zone)}
            </span>
          </p>
          <OverdueLine overdue={one} view={view} />
          {maySettle(one.actor, view.person.roles) && (
            <LeaveAside overdue={one} summary="Leave aside" leaving={leaving} filter={view.filter} />
          )}
        </li>
      ))}
    </ul>
  )
}

/** What to do, as a link to where it is settled, why, and what it is about. */
export function OverdueLine({ overdue, view }: { overdue: Overdue; view: DueView }) {
  const { work, person, isOfSeveral } = view
  const { act, why } = overdueWords(overdue, work)
  const path = settlingPath(overdue, person.roles)
  const about = [
    overdue.product !== null && overdue.sample !== null && productName(overdue.product, work),
    isOfSeveral && work.places.get(overdue.plant),
    dueWords(overdue, view),
  ]
  const loss = view.losses.get(overdue.subject)
  return (
    <p className={styles.what}>
      {path.startsWith('/due') ? <b>{act}</b> : <Link href={path}>{act}</Link>}: {why}.
      {loss?.of === 'sample' && ` Its hold limit is ${limitWords(loss, overdue, work)}.`}
      {loss?.lastCut &&
        ` ${lastCutWords(loss.lastCut, 'Its report', 'it', (day, zone) => dayNumberWords(day, zone, work.asOf))}`}
      <span className={styles.quiet}>{about.filter((one) => one).join(' · ')}</span>
    </p>
  )
}

/** By when a sample is lost, told where a day ends with it: at the laboratory or at the plant. */
function limitWords(
  { at, zone }: { at: number; zone: string },
  { plant }: Overdue,
  { zones, asOf }: DueWork,
) {
  return deadlineWords(at, deadlineZone(at, [zone, zones.get(plant) ?? zone]), asOf)
}

/** When the report of the test is due that it holds up; null where it holds up none that is owed. */
function dueWords(overdue: Overdue, { work }: DueView): string | null {
  const owed = work.owed.find((one) => isOfTest(overdue, one))
  const report = owed?.acts.at(-1)
  return report ? `report due ${dayNumberWords(report.dueDay, report.zone, work.asOf)}` : null
}
