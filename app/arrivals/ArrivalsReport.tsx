import { useTranslate } from '#translate'
import { Day } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'
import { ArrivalTable } from './ArrivalTable'
import { formatArrivalsHeading, formatLaboratorySummary } from './arrivalsSummary'
import styles from './DeskReport.module.css'
import { formatLateAction, formatLimitStatus } from './lateConsignment'

type Laboratory = Arrivals['laboratories'][number]

/** What each laboratory should expect on each coming day, and what should have come by now. */
export function ArrivalsReport({ arrivals, reader }: { arrivals: Arrivals; reader: ActingRoles }) {
  const t = useTranslate()
  const { laboratories, asOf } = arrivals
  const first = laboratories.length === 1 ? laboratories[0] : undefined
  return (
    <>
      <p className={styles.when}>{first && formatLongInstant(t, asOf, first.zone, asOf)}</p>
      <h1 className={styles.heading}>{formatArrivalsHeading(t, laboratories)}</h1>
      {laboratories.map((laboratory) => (
        <LaboratorySection key={laboratory.code} laboratory={laboratory} asOf={asOf} reader={reader} />
      ))}
      {laboratories.every(({ coming }) => coming.length === 0) && (
        <p className="prose">
          A sample stands here from its cut until the laboratory has received it, once its plant, its lane and
          its service have a record to tell from.
        </p>
      )}
    </>
  )
}

function LaboratorySection({
  laboratory,
  asOf,
  reader,
}: {
  laboratory: Laboratory
  asOf: number
  reader: ActingRoles
}) {
  const t = useTranslate()
  const { code, name, coming, untold } = laboratory
  if (coming.length === 0 && untold === 0) return null
  const late = coming.filter(({ lateSinceDay }) => lateSinceDay !== null)
  const headingId = `arrivals-${code}`
  return (
    <section className={styles.section} aria-labelledby={headingId}>
      <h2 id={headingId}>{name}</h2>
      <p className={styles.note}>{formatLaboratorySummary(t, laboratory, asOf)}</p>
      {late.length > 0 && <LateList late={late} zone={laboratory.zone} asOf={asOf} reader={reader} />}
      {coming.length > 0 && <ArrivalTable laboratory={laboratory} asOf={asOf} />}
    </section>
  )
}

type Coming = Arrivals['laboratories'][number]['coming'][number]

/** What is overdue by its lane's own record, though its limit may be days away: whom to ask, and about what. */
function LateList({
  late,
  zone,
  asOf,
  reader,
}: {
  late: readonly Coming[]
  zone: string
  asOf: number
  reader: ActingRoles
}) {
  const t = useTranslate()
  return (
    <ul className={styles.list} aria-label="Overdue by the record of their lanes">
      {late.map((one) => (
        <li key={one.samples[0]?.code}>
          {one.samples.map((row, index) => (
            <span key={row.code}>
              {index > 0 && ', '}
              <SampleLink code={row.code} />
            </span>
          ))}{' '}
          of {one.plant.name},{' '}
          {one.handedOverAt !== null && (
            <>
              handed over <Day at={one.handedOverAt} zone={one.plant.zone} now={asOf} />
            </>
          )}
          : nineteen of twenty like it had come by {formatDayNumber(t, one.lateSinceDay ?? 0, zone, asOf)}.{' '}
          {formatLimitStatus(t, one, asOf)} <strong>{formatLateAction(t, one, asOf, reader)}</strong>
        </li>
      ))}
    </ul>
  )
}
