const MINUTE = 60_000
const HOUR = 60 * MINUTE
const DAY = 24 * HOUR

/** So long after it was due a mail is given up, ms: the next week's is near, and says the same anew. */
const PATIENCE = 4 * DAY
const LONGEST_WAIT = 6 * HOUR

/**
 * When a mail that has been tried `tries` times is tried again (ms UTC); null where it is given up. Waits double from a
 * minute to six hours. One that is caught up late is tried twice at least.
 */
export function retryAt(dueAt: number, tries: number, now: number): number | null {
  const at = now + Math.min(LONGEST_WAIT, MINUTE * 2 ** (tries - 1))
  return tries > 1 && at - dueAt > PATIENCE ? null : at
}
