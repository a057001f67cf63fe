import { Day } from '@/app/ui/Instant'
import { capitalised } from '@/app/ui/words/numberWords'
import { actorName } from '@/lib/judgement/dueWords'
import { maySettle } from '@/lib/judgement/hasToAct'
import { placeName } from '@/lib/schedule/placeName'
import styles from './DueList.module.css'
import { OverdueLine } from './DueOverdue'
import type { DueView } from './dueView'
import { LeaveAside, type Leaving } from './LeaveAside'

/** What is overdue and left aside for a while, with the reason and until when. */
export function DueAside({ view, leaving, zone }: { view: DueView; leaving: Leaving; zone: string }) {
  const { aside, work } = view
  if (aside.length === 0) return null
  return (
    <section className={styles.section} aria-labelledby="aside">
      <h2 id="aside" className={styles.name}>
        Left aside
      </h2>
      <ul className={styles.list}>
        {aside.map(({ overdue, snooze }) => (
          <li key={overdue.subject}>
            <p className={styles.day}>
              until <Day at={snooze.untilAt} zone={overdue.zone} now={work.asOf} />
              <span className={styles.quiet}>{placeName(overdue.zone)}</span>
            </p>
            <div>
              <OverdueLine overdue={overdue} view={view} />
              <p className={styles.reason}>
                “{snooze.reason}” <span className={styles.by}>{snooze.by}, </span>
                <span className={styles.by}>
                  <Day at={snooze.madeAt} zone={zone} now={work.asOf} />.{' '}
                  {capitalised(actorName(overdue.actor, work))} has to act.
                </span>
              </p>
            </div>
            {maySettle(overdue.actor, view.person.roles) && (
              <LeaveAside overdue={overdue} summary="Change" leaving={leaving} filter={view.filter} />
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}
