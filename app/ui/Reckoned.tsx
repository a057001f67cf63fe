import type { LaboratoryContent } from '@/lib/custody/registerDocument'
import type { Limit } from '@/lib/hold/limit'
import type { SampleDossier } from '@/lib/store'
import { dayNumberWords } from '../words/instantWords'
import { placeName } from '../words/placeName'
import { Instant } from './Instant'
import { WorkingDays } from './WorkingDays'

type Reckoning = NonNullable<SampleDossier['reckonings'][string]>

/** The sum from a clock's start to its first due, step by step. `zone`: where elapsed time is told. */
export function Reckoned({
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
  const { startDay, steps, dueAt, startedAt } = reckoning
  if (reckoning.zone === null || startDay === null) {
    const amount = limit.amount.toLocaleString('en-GB')
    return (
      <>
        <Instant at={startedAt} zone={zone} now={now} /> +{' '}
        {limit.unit === 'hours' ? `${amount} hours` : `${amount} × 24 hours`} ={' '}
        <Instant at={dueAt} zone={zone} now={now} />
      </>
    )
  }
  const start = dayNumberWords(startDay, reckoning.zone, now)
  if (limit.unit === 'working days')
    return (
      <>
        {limit.amount === 0 ? 'Day 0 is the first open day from ' : 'Day 0 is '}
        {start} in {placeName(reckoning.zone)}
        <WorkingDays steps={steps} zone={reckoning.zone} laboratory={laboratory} now={now} />
        day {limit.amount} ends <Instant at={dueAt} zone={reckoning.zone} now={now} />
      </>
    )
  const counted = limit.unit === 'months' ? `the month ${limit.amount} later` : `day ${limit.amount}`
  return (
    <>
      {start} is day 0 in {placeName(reckoning.zone)}; {limit.amount === 0 ? 'it' : counted} ends{' '}
      <Instant at={dueAt} zone={reckoning.zone} now={now} />
    </>
  )
}
