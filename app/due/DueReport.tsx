import type { ReactNode } from 'react'
import { CuttingCaution } from '@/app/ui/CuttingCaution'
import { headingInstant } from '@/app/ui/words/instantWords'
import { localDay } from '@/lib/hold/zone'
import { hasToAct } from '@/lib/judgement/hasToAct'
import { asksToCut } from '@/lib/schedule/overdueKinds'
import { DueAside } from './DueAside'
import { DueDays } from './DueDays'
import { DueFilters } from './DueFilters'
import { DueOverdue } from './DueOverdue'
import styles from './DueReport.module.css'
import { DueWeeks } from './DueWeeks'
import { dueAddress } from './dueFilter'
import { dueHeadWords } from './dueHeadWords'
import type { DueView } from './dueView'
import type { Leaving } from './LeaveAside'

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
  leaving: Leaving
  /** Something was to be left aside that is not overdue any more. */
  isGone: boolean
  /** What to say where nothing is shown at all. */
  empty: ReactNode
  children?: ReactNode
}) {
  const { work, mine, others, aside, coming, filter } = view
  const { asOf } = work
  const waiting = others.reduce((sum, { overdue }) => sum + overdue.length, 0)
  const soon = coming.filter(({ dueDay, zone: of }) => dueDay - localDay(asOf, of) <= SOON_DAYS).length
  const isEmpty = mine.length + waiting + aside.length + coming.length === 0
  const isFiltered = filter.plant !== null || filter.by !== null
  const { heading, rest } = dueHeadWords({
    mine: mine.length,
    others: waiting,
    aside: aside.length,
    coming: soon,
  })
  return (
    <>
      <div className={styles.head}>
        <p className={styles.when}>
          <time dateTime={new Date(asOf).toISOString()}>{headingInstant(asOf, zone, asOf)}</time>
        </p>
        <h1>{isEmpty && isFiltered ? 'Nothing that is due fits this choice.' : heading}</h1>
        {!isEmpty && <p className={styles.rest}>{rest}</p>}
      </div>
      {(!isEmpty || isFiltered) && <DueFilters filter={filter} plants={view.plants} />}
      {isGone && <p role="status">Nothing was left aside: it is not overdue any more.</p>}
      {isEmpty && (isFiltered ? <NothingOfFilter /> : empty)}
      <DueOverdue view={view} leaving={leaving} />
      {isCuttingAsked(view) && <CuttingCaution />}
      <DueAside view={view} leaving={leaving} zone={zone} />
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

function NothingOfFilter() {
  return (
    <p className="prose">
      <a href={dueAddress({ plant: null, by: null })}>Clear it</a> to see all that is due.
    </p>
  )
}

/** Whether the reader is asked to cut something, now or on one of the days to come. */
function isCuttingAsked({ mine, coming, person }: DueView): boolean {
  const isToCut = coming.some(({ acts, actor }) => acts.includes('cut') && hasToAct(actor, person.roles))
  return isToCut || mine.some(({ kind }) => asksToCut(kind))
}
