import type { DutyContent } from '@/lib/custody/owedContents'
import type { Act } from './act'
import { type Parties, workBack } from './workBack'

/**
 * The last local day (a day number in `zone`) on which a sample can be cut for its report to be in time, if it travels
 * as fast as half do; `day` is null where that day is over.
 */
export interface LastCut {
  day: number | null
  zone: string
}

/**
 * The cut of a test as late as it can be for a report on `dueDay`, worked back as the test is but for the transit:
 * `half` is in how many open days half of the lane's shipments are there. Null where that is not known.
 */
export function latestCut(
  duty: DutyContent,
  dueDay: number,
  parties: Parties,
  half: number | null,
): Act | null {
  return workBack(duty, dueDay, parties, half).find(({ act }) => act === 'cut') ?? null
}

/** By when the sample of a test can still be cut at `now` (ms UTC); null where the transit of its lane is not known. */
export function lastCutOf({ lastCut }: { lastCut: Act | null }, now: number): LastCut | null {
  if (lastCut === null) return null
  const { dueDay, dueAt, zone } = lastCut
  return { day: dueAt < now ? null : dueDay, zone }
}

/** The same as a sentence: about what (“Its report”), what is to be cut, and how its day is written. */
export function lastCutWords(
  { day, zone }: LastCut,
  report: string,
  sample: string,
  written: (day: number, zone: string) => string,
): string {
  if (day === null) return `${report} can hardly be in time any more, even if ${sample} is cut today.`
  return `${report} can still be in time if ${sample} is cut by ${written(day, zone)} and travels as fast as half do on its lane.`
}
