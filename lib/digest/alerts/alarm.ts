import type { Alarm } from '@/lib/store/mail/alertPoll'

/** Time below at risk after which the sample is alerted again, ms: chances waver from hour to hour. */
const REARM_AFTER_MS = 86_400_000

export const INITIAL_ALARM: Alarm = { isArmed: true, belowSince: null, alertCount: 0 }

/** Updates the alarm of a sample at `now` (ms UTC). A sample that becomes at risk is alerted once; the alarm rearms after a whole day below at risk. */
export function updateAlarm(
  alarm: Alarm,
  isAtRisk: boolean,
  now: number,
): { alarm: Alarm; isAlerted: boolean } {
  const { belowSince, alertCount } = alarm
  const isArmed = alarm.isArmed || (belowSince !== null && now - belowSince >= REARM_AFTER_MS)
  if (!isAtRisk)
    return { alarm: { isArmed, belowSince: Math.min(belowSince ?? now, now), alertCount }, isAlerted: false }
  if (!isArmed) return { alarm: { isArmed, belowSince: null, alertCount }, isAlerted: false }
  return { alarm: { isArmed: false, belowSince: null, alertCount: alertCount + 1 }, isAlerted: true }
}

/**
 * Takes back that the alarm of a sample went off while the clock was ahead. Its next alert has the same number, so that it is sent
 * once.
 */
export function takeBackAlarm({ isArmed, alertCount }: Alarm, now: number): Alarm {
  return { isArmed: true, belowSince: now, alertCount: isArmed ? alertCount : Math.max(0, alertCount - 1) }
}
