import { Day } from '@/app/ui/Instant'
import { SampleLink } from '@/app/ui/SampleLink'
import { dayNumberWords } from '@/app/ui/words/instantWords'
import type { Part } from '@/lib/judgement/hasToAct'
import type { Arrivals } from '@/lib/store/read/arrivals/arrivals'
import styles from './LateList.module.css'
import { lateAction, limitWords } from './lateWords'

type Coming = Arrivals['laboratories'][number]['coming'][number]

/** What is overdue by its lane's own record, though its limit may be days away: whom to ask, and about what. */
export function LateList({
  late,
  zone,
  asOf,
  reader,
}: {
  late: readonly Coming[]
  zone: string
  asOf: number
  reader: Part
}) {
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
          : nineteen of twenty like it had come by {dayNumberWords(one.lateSinceDay ?? 0, zone, asOf)}.{' '}
          {limitWords(one, asOf)} <strong>{lateAction(one, asOf, reader)}</strong>
        </li>
      ))}
    </ul>
  )
}
