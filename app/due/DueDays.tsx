import { Link } from '@/app/ui/Link'
import { dayNumberWords } from '@/app/ui/words/instantWords'
import { capitalised, numberWords } from '@/app/ui/words/numberWords'
import { localDay } from '@/lib/hold/zone'
import { actorName, actWords, productName } from '@/lib/judgement/dueWords'
import { hasToAct } from '@/lib/judgement/hasToAct'
import { duePath } from '@/lib/judgement/settlingPath'
import type { DueLine } from '@/lib/schedule/dueLines'
import { isOfTest } from '@/lib/schedule/overdue'
import { placeName } from '@/lib/schedule/placeName'
import styles from './DueList.module.css'
import { DueMore } from './DueMore'
import { aheadWords } from './dueHeadWords'
import type { DueView } from './dueView'
import { firstOf, MOST_ACTS } from './mostShown'

/** How far ahead days are shown without being asked for. */
const NEAR_DAYS = 28

/** What is due, under the day on which it is due: the local day of who has to do it. */
export function DueDays({ view, zone }: { view: DueView; zone: string }) {
  const today = localDay(view.work.asOf, zone)
  const near = view.coming.filter(({ dueDay }) => dueDay <= today + NEAR_DAYS)
  const far = view.coming.slice(near.length)
  const most = view.isWhole ? Number.POSITIVE_INFINITY : MOST_ACTS
  const shown = firstOf(near, most)
  const later = firstOf(far, most - shown.length)
  return (
    <section className={styles.section} aria-labelledby="days">
      <h2 id="days" className={styles.name}>
        Day by day
      </h2>
      {near.length === 0 && <p>Nothing is due within four weeks.</p>}
      <Days lines={shown} view={view} today={today} />
      {later.length > 0 && (
        <details className={styles.later} open={near.length === 0}>
          <summary>{capitalised(numberWords(far.length))} more due later</summary>
          <Days lines={later} view={view} today={today} />
        </details>
      )}
      <DueMore count={view.coming.length - shown.length - later.length} one="act" filter={view.filter} />
    </section>
  )
}

function Days({ lines, view, today }: { lines: readonly DueLine[]; view: DueView; today: number }) {
  const days = new Map<number, DueLine[]>()
  for (const line of lines) days.set(line.dueDay, [...(days.get(line.dueDay) ?? []), line])
  return (
    <ul className={styles.list}>
      {[...days].map(([day, due]) => (
        <li key={day}>
          <p className={styles.day}>
            {dayNumberWords(day, 'UTC', view.work.asOf)}
            <span className={styles.quiet}>{aheadWords(day - today)}</span>
          </p>
          <ul className={styles.acts}>
            {due.map((line) => (
              <li key={`${line.owed.duty} ${line.owed.number} ${line.acts[0]}`}>
                <Line line={line} view={view} />
              </li>
            ))}
          </ul>
        </li>
      ))}
    </ul>
  )
}

function Line({ line, view }: { line: DueLine; view: DueView }) {
  const { owed, acts, actor, zone } = line
  const { work, person, isOfSeveral } = view
  const act = actWords(acts, owed, work)
  const path = duePath(line, person.roles)
  const about = [
    owed.kit !== null && productName(owed.product, work),
    isOfSeveral && work.places.get(owed.plant),
    placeName(zone),
    heldUpWords(line, view),
  ]
  return (
    <p className={styles.what}>
      {path.startsWith('/due') ? act : <Link href={path}>{act}</Link>}
      {hasToAct(actor, person.roles) ? ', yours to do' : `, by ${actorName(actor, work)}`}
      <span className={styles.quiet}>{about.filter((one) => one).join(' · ')}</span>
    </p>
  )
}

/** That an earlier act of the same test is overdue, so that this one can hardly be in time; null where none is. */
function heldUpWords({ owed }: DueLine, { work }: DueView): string | null {
  if (work.pressing.some((one) => isOfTest(one, owed))) return 'what comes before it is overdue'
  const isAside = work.aside.some(({ overdue }) => isOfTest(overdue, owed))
  return isAside ? 'what comes before it is left aside' : null
}
