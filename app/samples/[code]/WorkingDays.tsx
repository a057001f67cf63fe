import { dayNumberWords } from '@/app/ui/words/instantWords'
import { type LaboratoryContent, WEEKDAYS } from '@/lib/custody/registerDocument'
import { weekdayOf } from '@/lib/hold/zone'
import styles from './WorkingDays.module.css'

/** Days from a start to a due, each with its count or why it does not count. Days are those of `zone`. */
export function WorkingDays({
  steps,
  zone,
  laboratory,
  now,
}: {
  steps: readonly { day: number; count: number | null }[]
  zone: string
  laboratory: LaboratoryContent
  now: number
}) {
  return (
    <ol className={styles.days}>
      {steps.map(({ day, count }) => (
        <li key={day} data-closed={count === null}>
          <span className={styles.day}>{dayNumberWords(day, zone, now)}</span>{' '}
          <span className={styles.count}>{count === null ? closedWords(day, laboratory) : count}</span>
        </li>
      ))}
    </ol>
  )
}

function closedWords(day: number, { receiving }: LaboratoryContent): string {
  const weekday = WEEKDAYS[weekdayOf(day)]
  return weekday && (receiving[weekday] ?? []).length > 0 ? 'closed' : 'not open'
}
