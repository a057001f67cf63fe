import type { Alarm } from '@/lib/store/mail/alertPoll'

/** So long it has to be below before a turn is told again, ms: chances waver from hour to hour. */
const REARM_AFTER_MS = 86_400_000

export const INITIAL_ALARM: Alarm = { isArmed: true, belowSince: null, turns: 0 }

/**
 * What a look at a sample at `now` (ms UTC) makes of its alarm. Each worsening is told once; the alarm is armed again after a
 * whole day below.
 */
export function updateAlarm(alarm: Alarm, isAtRisk: boolean, now: number): { alarm: Alarm; isTold: boolean } {
  const { belowSince, turns } = alarm
  const isArmed = alarm.isArmed || (belowSince !== null && now - belowSince >= REARM_AFTER_MS)
  if (!isAtRisk) return { alarm: { isArmed, belowSince: belowSince ?? now, turns }, isTold: false }
  if (!isArmed) return { alarm: { isArmed, belowSince: null, turns }, isTold: false }
  return { alarm: { isArmed: false, belowSince: null, turns: turns + 1 }, isTold: true }
}
