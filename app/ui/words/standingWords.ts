import { displayCode } from '@/lib/custody/kitCode'
import { stateAt } from '@/lib/hold/clock'
import type { Standing } from '@/lib/hold/standing'
import { hasToAct, type Part } from '@/lib/judgement/hasToAct'
import { ASK_TO_OPEN, nextStep, replaceWords, stepWords } from '@/lib/judgement/nextStep'
import { began } from '@/lib/schedule/milestoneWords'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { chanceWords } from './chanceWords'
import { durationWords, roughDuration } from './durationWords'
import { dayWords } from './instantWords'
import { listed } from './numberWords'

type Standable = Pick<
  SampleRow,
  | 'plant'
  | 'laboratory'
  | 'purpose'
  | 'standing'
  | 'isSettled'
  | 'replacedBy'
  | 'settledAt'
  | 'ending'
  | 'binding'
  | 'lapsed'
  | 'asksFor'
  | 'stage'
  | 'protocol'
  | 'forecast'
>

/** How a sample stands, in words that say the same as its strip. */
export interface StandingWords {
  standing: Standing
  /** The standing and the time: "at risk: 9 hours left", "lapsed 3 hours ago". */
  lead: string
  /** The name of the limit this is about; null where it is about none. */
  limit: string | null
  /** What more there is to know; null where nothing is. */
  note: string | null
  /** What to do, in a few words; null where nothing is to be done. */
  action: string | null
}

/** The standing at `now` (ms UTC): as it was derived, or lapsed where the due has passed since. */
export function standingAt(row: Standable, now: number): Standing {
  const isOver = !row.isSettled && row.binding !== null && stateAt(row.binding, now) === 'overrun'
  return isOver ? 'lapsed' : row.standing
}

/** How a sample stands at `now` (ms UTC), and what whoever reads it is to do; days are those of `zone`. */
export function standingWords(row: Standable, zone: string, now: number, reader: Part): StandingWords {
  const found = howItStands(row, zone, now)
  return { ...found, action: actionOf(row, found.standing, reader) }
}

/** The same without what to do. */
export function howItStands(row: Standable, zone: string, now: number): Omit<StandingWords, 'action'> {
  const standing = standingAt(row, now)
  if (row.isSettled) return { standing, ...settledWords(row, zone, now) }
  if (standing === 'lapsed') {
    const found = lapsedWords(row, now)
    const { replacedBy } = row
    return {
      standing,
      ...found,
      note: replacedBy === null ? found.note : `replaced by ${displayCode(replacedBy)}`,
    }
  }
  if (row.binding === null || row.binding.dueAt === null)
    return { standing, lead: noClockWords(row), limit: null, note: null }
  const left = `${durationWords(row.binding.dueAt - now)} left`
  return {
    standing,
    lead: `${standing}: ${left}`,
    limit: row.binding.limit.name,
    note: row.forecast && `${chanceWords(row.forecast.risk)} to miss`,
  }
}

function actionOf(row: Standable, standing: Standing, reader: Part): string | null {
  if (row.isSettled) return null
  if (standing === 'lapsed') return replaceWords('it', row, reader)
  if (row.asksFor.length > 0) return listed(row.asksFor.map((one) => `ask when ${began(one)}`))
  return standing === 'at risk' && row.binding?.dueAt != null ? stepOf(row, reader) : null
}

/** What someone can still do for a sample at risk. */
function stepOf({ forecast, stage, plant, laboratory, binding }: Standable, reader: Part): string | null {
  const isDesk = hasToAct({ by: 'laboratory', code: laboratory }, reader)
  if (forecast?.needsOpening) return isDesk ? 'open out of hours' : ASK_TO_OPEN
  const step = nextStep(stage, binding?.limit.to ?? null)
  if (step === null) return null
  const isTheirs = step.by !== null && hasToAct({ by: step.by, code: { plant, laboratory }[step.by] }, reader)
  return stepWords(step, 'it', isTheirs)
}

type Found = Pick<StandingWords, 'lead' | 'limit' | 'note'>

function lapsedWords({ isSettled, binding, lapsed }: Standable, now: number): Found {
  const overrun = !isSettled && binding !== null && stateAt(binding, now) === 'overrun' ? binding : lapsed
  if (overrun === null || overrun.dueAt === null) return { lead: 'lapsed', limit: null, note: null }
  const lead =
    overrun.stoppedAt === null
      ? `lapsed ${roughDuration(now - overrun.dueAt)} ago`
      : `lapsed: missed by ${durationWords(overrun.stoppedAt - overrun.dueAt)}`
  return { lead, limit: overrun.limit.name, note: null }
}

function noClockWords({ protocol, stage }: Standable): string {
  if (protocol === null) return 'no hold limit known'
  return stage === null || stage === 'produced' ? 'no clock running yet' : 'no clock running'
}

function settledWords(row: Standable, zone: string, now: number): Found {
  const note = row.settledAt === null ? null : `settled ${dayWords(row.settledAt, zone, now)}`
  if (row.standing === 'lapsed') {
    const { lead, limit } = lapsedWords(row, now)
    return { lead, limit, note: row.ending === null ? note : [row.ending, note].filter(Boolean).join(', ') }
  }
  const lead = row.standing === 'ended' && row.ending !== null ? `ended: ${row.ending}` : row.standing
  return { lead, limit: null, note }
}
