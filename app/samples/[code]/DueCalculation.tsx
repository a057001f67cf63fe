import { useTranslate } from '#translate'
import { Day, Deadline, Instant } from '@/app/ui/Instant'
import { rich } from '@/app/ui/language/rich'
import { formatDuration } from '@/app/ui/words/duration'
import { formatDayNumber } from '@/app/ui/words/instant'
import { type LaboratoryContent, WEEKDAYS } from '@/lib/custody/registerDocument'
import type { Limit } from '@/lib/hold/limit'
import { findCountingMethod } from '@/lib/hold/units'
import { getOffset, getWeekday } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/messages/zoneName'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './DueCalculation.module.css'

type Calculation = NonNullable<SampleDossier['dueCalculations'][string]>

/** How a clock's first due follows from its start, step by step. Elapsed time is shown in `zone`. */
export function DueCalculation({
  calculation,
  limit,
  laboratory,
  zone,
  now,
}: {
  calculation: Calculation
  limit: Limit
  laboratory: LaboratoryContent
  zone: string
  now: number
}) {
  const t = useTranslate()
  const { startDay, steps, dueAt, startedAt } = calculation
  const { amount } = limit
  const method = findCountingMethod(limit)
  if (method.by === 'elapsed')
    return (
      <>
        {rich(t, method.sum, {
          start: <Instant at={startedAt} zone={zone} now={now} />,
          amount,
          due: <Deadline at={dueAt} zone={zone} now={now} />,
        })}
        {formatClockChange(t, getOffset(dueAt, zone) - getOffset(startedAt, zone))}
      </>
    )
  if (calculation.zone === null || startDay === null) return null
  const start = formatDayNumber(t, startDay, calculation.zone, now)
  const place = formatZone(calculation.zone)
  const end = <Day at={dueAt} zone={calculation.zone} now={now} />
  if (method.sum !== 'each day') return rich(t, method.sum.text, { amount, start, place, end })
  return (
    <>
      {t(amount === 0 ? 'sum.firstOpenDay' : 'sum.dayZero', { start, place })}
      <WorkingDays steps={steps} zone={calculation.zone} laboratory={laboratory} now={now} />
      {rich(t, 'sum.lastDay', { amount, end })}
    </>
  )
}

/** Explains why elapsed time ends at another time of day than it began. `change` of the clocks in between, ms. */
function formatClockChange(t: Translate, change: number): string {
  if (change === 0) return ''
  const by = formatDuration(t, Math.abs(change))
  return ` ${t(change > 0 ? 'sum.clocksForward' : 'sum.clocksBack', { by })}`
}

/** Days from a start to a due, each with its count or why it does not count. Days are those of `zone`. */
function WorkingDays({
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
  const t = useTranslate()
  return (
    <ol className={styles.days}>
      {steps.map(({ day, count }) => (
        <li key={day} data-closed={count === null}>
          <span className={styles.day}>{formatDayNumber(t, day, zone, now)}</span>{' '}
          <span className={styles.count}>
            {count === null ? t(isReceivingDay(day, laboratory) ? 'sum.closed' : 'sum.notOpen') : count}
          </span>
        </li>
      ))}
    </ol>
  )
}

function isReceivingDay(day: number, { receiving }: LaboratoryContent): boolean {
  const weekday = WEEKDAYS[getWeekday(day)]
  return weekday !== undefined && (receiving[weekday] ?? []).length > 0
}
