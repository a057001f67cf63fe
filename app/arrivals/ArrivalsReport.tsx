import { headingInstant } from '@/app/ui/words/instantWords'
import type { Part } from '@/lib/judgement/hasToAct'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'
import { ArrivalTable } from './ArrivalTable'
import { arrivalsHeading, laboratorySentence } from './arrivalWords'
import styles from './DeskReport.module.css'
import { LateList } from './LateList'

type Laboratory = Arrivals['laboratories'][number]

/** What each laboratory should expect on each coming day, and what should have come by now. */
export function ArrivalsReport({ arrivals, reader }: { arrivals: Arrivals; reader: Part }) {
  const { laboratories, asOf } = arrivals
  const first = laboratories.length === 1 ? laboratories[0] : undefined
  return (
    <>
      <p className={styles.when}>{first && headingInstant(asOf, first.zone, asOf)}</p>
      <h1 className={styles.heading}>{arrivalsHeading(laboratories)}</h1>
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
  reader: Part
}) {
  const { code, name, coming, untold } = laboratory
  if (coming.length === 0 && untold === 0) return null
  const late = coming.filter(({ lateSinceDay }) => lateSinceDay !== null)
  const headingId = `arrivals-${code}`
  return (
    <section className={styles.section} aria-labelledby={headingId}>
      <h2 id={headingId}>{name}</h2>
      <p className={styles.note}>{laboratorySentence(laboratory, asOf)}</p>
      {late.length > 0 && <LateList late={late} zone={laboratory.zone} asOf={asOf} reader={reader} />}
      {coming.length > 0 && <ArrivalTable laboratory={laboratory} asOf={asOf} />}
    </section>
  )
}
