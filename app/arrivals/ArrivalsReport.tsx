import { Fragment } from 'react'
import { useTranslate } from '#translate'
import { Day } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { SampleLink } from '@/app/ui/SampleLink'
import { formatDayNumber, formatLongInstant } from '@/app/ui/words/instant'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'
import { ArrivalTable } from './ArrivalTable'
import { formatArrivalsHeading, formatLaboratorySummary } from './arrivalsSummary'
import styles from './DeskReport.module.css'
import { formatLateAction, formatLimitStatus } from './lateConsignment'

type Laboratory = Arrivals['laboratories'][number]

/** What each laboratory should expect on each coming day, and what is late. */
export function ArrivalsReport({ arrivals, viewer }: { arrivals: Arrivals; viewer: ActingRoles }) {
  const t = useTranslate()
  const { laboratories, asOf } = arrivals
  const first = laboratories.length === 1 ? laboratories[0] : undefined
  return (
    <>
      <p className={styles.when}>{first && formatLongInstant(t, asOf, first.zone, asOf)}</p>
      <h1 className={styles.heading}>{formatArrivalsHeading(t, laboratories)}</h1>
      {laboratories.map((laboratory) => (
        <LaboratorySection key={laboratory.code} laboratory={laboratory} asOf={asOf} viewer={viewer} />
      ))}
      {laboratories.every(({ coming }) => coming.length === 0) && (
        <p className="prose">{t('arrivals.empty')}</p>
      )}
    </>
  )
}

function LaboratorySection({
  laboratory,
  asOf,
  viewer,
}: {
  laboratory: Laboratory
  asOf: number
  viewer: ActingRoles
}) {
  const t = useTranslate()
  const { code, name, coming, unpredicted } = laboratory
  if (coming.length === 0 && unpredicted === 0) return null
  const late = coming.filter(({ lateSinceDay }) => lateSinceDay !== null)
  const headingId = `arrivals-${code}`
  return (
    <section className={styles.section} aria-labelledby={headingId}>
      <h2 id={headingId}>{name}</h2>
      <p className={styles.note}>{formatLaboratorySummary(t, laboratory, asOf)}</p>
      {late.length > 0 && <LateList late={late} zone={laboratory.zone} asOf={asOf} viewer={viewer} />}
      {coming.length > 0 && <ArrivalTable laboratory={laboratory} asOf={asOf} />}
    </section>
  )
}

type Consignment = Laboratory['coming'][number]

/** Consignments that are later than usual on their lanes, though their limits may be days away, and whom to ask. */
function LateList({
  late,
  zone,
  asOf,
  viewer,
}: {
  late: readonly Consignment[]
  zone: string
  asOf: number
  viewer: ActingRoles
}) {
  const t = useTranslate()
  return (
    <ul className={styles.list} aria-label={t('arrivals.late.label')}>
      {late.map((one) => (
        <li key={one.samples[0]?.code}>
          <LateSentence one={one} zone={zone} asOf={asOf} /> {formatLimitStatus(t, one)}{' '}
          <strong>{formatLateAction(t, one, viewer)}</strong>
        </li>
      ))}
    </ul>
  )
}

/** Since when a consignment is on its way, and by when one like it has usually arrived. */
function LateSentence({ one, zone, asOf }: { one: Consignment; zone: string; asOf: number }) {
  const t = useTranslate()
  const values = {
    samples: (
      <>
        {one.samples.map((row, index) => (
          <Fragment key={row.code}>
            {index > 0 && ', '}
            <SampleLink code={row.code} />
          </Fragment>
        ))}
      </>
    ),
    plant: one.plant.name,
    day: formatDayNumber(t, one.lateSinceDay ?? 0, zone, asOf),
  }
  if (one.handedOverAt === null) return rich(t, 'arrivals.late.noHandOver', values)
  const handedOver = <Day at={one.handedOverAt} zone={one.plant.zone} now={asOf} />
  return rich(t, 'arrivals.late.handedOver', { ...values, handedOver })
}
