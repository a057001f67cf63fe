import { useTranslate } from '#translate'
import { Day, Deadline, Instant } from '@/app/ui/Instant'
import { formatDuration } from '@/app/ui/words/duration'
import { formatDayNumber } from '@/app/ui/words/instant'
import { type LaboratoryContent, WEEKDAYS } from '@/lib/custody/registerDocument'
import type { Limit } from '@/lib/hold/limit'
import { findCountingMethod, formatCount } from '@/lib/hold/units'
import { getOffset, getWeekday } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/schedule/zoneName'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import styles from './DueCalculation.module.css'

type Reckoning = NonNullable<SampleDossier['dueCalculations'][string]>

/** The sum from a clock's start to its first due, step by step. `zone`: where elapsed time is told. */
export function DueCalculation({
  reckoning,
  limit,
  laboratory,
  zone,
  now,
}: {
  reckoning: Reckoning
  limit: Limit
  laboratory: LaboratoryContent
  zone: string
  now: number
}) {
  const t = useTranslate()
  const { startDay, steps, dueAt, startedAt } = reckoning
  const way = findCountingMethod(limit)
  if (way.by === 'elapsed')
    return (
      <>
        <Instant at={startedAt} zone={zone} now={now} /> +{' '}
        {way.addend(limit.amount.toLocaleString('en-GB'), formatCount(t, limit))} ={' '}
        <Deadline at={dueAt} zone={zone} now={now} />
        {formatClockChange(t, getOffset(dueAt, zone) - getOffset(startedAt, zone))}
      </>
    )
  if (reckoning.zone === null || startDay === null) return null
  const start = formatDayNumber(t, startDay, reckoning.zone, now)
  if (way.sum === 'each day')
    return (
      <>
        {limit.amount === 0 ? 'Day 0 is the first open day from ' : 'Day 0 is '}
        {start} in {formatZone(reckoning.zone)}
        <WorkingDays steps={steps} zone={reckoning.zone} laboratory={laboratory} now={now} />
        day {limit.amount} ends with <Day at={dueAt} zone={reckoning.zone} now={now} />
      </>
    )
  return (
    <>
      {start} {way.sum.start} in {formatZone(reckoning.zone)};{' '}
      {limit.amount === 0 ? 'it' : formatLastCount(limit.amount, way.sum)} ends with{' '}
      <Day at={dueAt} zone={reckoning.zone} now={now} />
    </>
  )
}

/** Where a count of days or months ends: "day 10", "day 14 (2 × 7)". */
function formatLastCount(amount: number, { last, times }: { last: string; times: number }): string {
  return `${last} ${amount * times}${times === 1 ? '' : ` (${amount} × ${times})`}`
}

/** Why elapsed time ends at another time of day than it began; `change` of the clocks in between, ms. */
function formatClockChange(t: Translate, change: number): string {
  if (change === 0) return ''
  return `, the clocks there having gone ${change > 0 ? 'forward' : 'back'} ${formatDuration(t, Math.abs(change))} in between`
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
          <span className={styles.count}>{count === null ? formatClosedDay(day, laboratory) : count}</span>
        </li>
      ))}
    </ol>
  )
}

function formatClosedDay(day: number, { receiving }: LaboratoryContent): string {
  const weekday = WEEKDAYS[getWeekday(day)]
  return weekday && (receiving[weekday] ?? []).length > 0 ? 'closed' : 'not open'
}
