import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { formatActTime } from '@/app/ui/words/act'
import { toLocalDay } from '@/lib/hold/zone'
import { describeAct } from '@/lib/judgement/actText'
import { formatKitCode, getProductName } from '@/lib/judgement/dueText'
import type { NextAct } from '@/lib/judgement/nextAct'
import { actPath } from '@/lib/judgement/resolutionPath'
import { describeRestraint } from '@/lib/judgement/restraintText'
import type { DueWork } from '@/lib/store/read/due/dueWork'
import styles from './DueList.module.css'
import type { DueView, NextTask } from './dueView'
import { MAX_OVERDUE, ShowAll, takeFirst } from './ShowAll'

/** What the viewer has to do next about samples, that can wait and has no day by a test. */
export function NextActs({ view }: { view: DueView }) {
  const t = useTranslate()
  const { filter, showsAll } = view
  const next = view.next.filter(({ act }) => !act.isUrgent)
  if (next.length === 0) return null
  const shown = takeFirst(next, showsAll ? Number.POSITIVE_INFINITY : MAX_OVERDUE)
  return (
    <section className={styles.section} aria-labelledby="next">
      <h2 id="next" className={styles.name}>
        {t('due.next')}
      </h2>
      <ul className={styles.list}>
        {shown.map((one) => (
          <NextActItem key={getNextKey(one)} task={one} view={view} />
        ))}
      </ul>
      <ShowAll count={next.length - shown.length} message="due.more.tasks" filter={filter} />
    </section>
  )
}

/** The key of a task in lists. */
export function getNextKey({ judged, act }: NextTask): string {
  return `${judged.sample} ${act.milestone ?? act.act}`
}

/** One task in a list. */
export function NextActItem({ task, view }: { task: NextTask; view: DueView }) {
  return (
    <li>
      <ActTime act={task.act} work={view.work} />
      <ActLine {...task} view={view} />
    </li>
  )
}

/** By when, or from when, in the zone of whoever has to act. */
function ActTime({ act, work }: { act: NextAct; work: DueWork }) {
  const t = useTranslate()
  const { actor, byAt, isUrgent } = act
  const { asOf } = work
  const zone = actor.by === 'programme' ? work.officeZone : (work.zones.get(actor.code) ?? 'UTC')
  if (byAt === null)
    return <p className={styles.day}>{t(isUrgent ? 'due.next.now' : 'due.next.meanwhile')}</p>
  const days = toLocalDay(byAt - 1, zone) - toLocalDay(asOf, zone)
  return (
    <p className={styles.day}>
      {days < 0 ? t('due.daysAgo', { days: -days }) : t('due.next.daysAhead', { days })}
      <span className={styles.quiet}>{formatActTime(t, act, zone, asOf)}</span>
    </p>
  )
}

/** What to do, linked to its form, with the reason and what must not be done meanwhile. */
function ActLine({ judged, act, view }: NextTask & { view: DueView }) {
  const t = useTranslate()
  const { work, person, hasSeveralPlants } = view
  const { sample, plant, product, judgement } = judged
  const code = formatKitCode(sample)
  const text =
    act.milestone === null
      ? describeAct(t, act, code, person.roles)
      : t('mail.item.missing', { milestone: act.milestone, sample: code })
  const about = [
    product !== null && getProductName(t, product, work),
    hasSeveralPlants && work.places.get(plant),
  ]
  return (
    <p className={styles.what}>
      <Link href={actPath(act, judged, person.roles)}>{text}</Link>. {t.message(act.why)}{' '}
      {describeRestraint(t, judgement, act.actor)}
      <span className={styles.quiet}>{about.filter((one) => one).join(' · ')}</span>
    </p>
  )
}
