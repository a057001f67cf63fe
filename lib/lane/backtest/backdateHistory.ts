import { DAY } from '@/lib/hold/zone'
import type { Journey } from '../model/journey'

/** What became known later than this after its time was entered as history; nobody tells when it was first known. */
const MAX_REPORT_DELAY = 7 * DAY

/**
 * A journey with what was entered long after it happened as if it had been known at once. An import of history without
 * the times at which things were written down gets our receipt for when they were known, and by that nothing of it
 * would have been known while it happened: no forecast of the past could be tried on it, nor learn from it. Not for
 * forecasts of now, by which all of it is known.
 */
export function backdateHistory(journey: Journey): Journey {
  const isLate = (known: { knownAt: number }, happenedAt: number) =>
    known.knownAt - happenedAt > MAX_REPORT_DELAY
  const { reports, ending } = journey
  return {
    ...journey,
    reports: reports.map((report) =>
      isLate(report, report.latestAt) ? { ...report, knownAt: report.latestAt } : report,
    ),
    ending: ending && isLate(ending, ending.at) ? { ...ending, knownAt: ending.at } : ending,
  }
}
