import type { Alarm } from '@/lib/store/mail/alertPoll'

/** Time below at risk after which a turn is alerted again, ms: chances waver from hour to hour. */
const REARM_AFTER_MS = 86_400_000

export const INITIAL_ALARM: Alarm = { isArmed: true, belowSince: null, turns: 0 }

/** Updates the alarm of a sample at `now` (ms UTC). A turn is alerted once; the alarm rearms after a whole day below at risk. */
export function updateAlarm(
  alarm: Alarm,
  isAtRisk: boolean,
  now: number,
): { alarm: Alarm; isAlerted: boolean } {
  const { belowSince, turns } = alarm
  const isArmed = alarm.isArmed || (belowSince !== null && now - belowSince >= REARM_AFTER_MS)
  if (!isAtRisk) return { alarm: { isArmed, belowSince: belowSince ?? now, turns }, isAlerted: false }
  if (!isArmed) return { alarm: { isArmed, belowSince: null, turns }, isAlerted: false }
  return { alarm: { isArmed: false, belowSince: null, turns: turns + 1 }, isAlerted: true }
}
