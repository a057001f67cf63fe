import { DAY } from '@/lib/hold/zone'
import type { Journey } from '../model/journey'

/** A longer delay means imported history whose time of report is unknown. */
const MAX_REPORT_DELAY = 7 * DAY

/**
 * Treats facts entered long after they happened as known at once. Imported history without times of report has
 * our receipt as the time at which it became known, so no past forecast could be tested on it or learn from it.
 * Not for current forecasts, which know all of it.
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
