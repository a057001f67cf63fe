import { expect, test } from 'vitest'
import { INITIAL_ALARM, takeBackAlarm, updateAlarm } from '@/lib/digest/alerts/alarm'

const HOUR = 3_600_000

/** Marks the hourly polls that alert. `x` is at risk, `.` below. */
function alertsAt(polls: string): string {
  let alarm = INITIAL_ALARM
  return [...polls]
    .map((look, hour) => {
      const found = updateAlarm(alarm, look === 'x', hour * HOUR)
      alarm = found.alarm
      return found.isAlerted ? '!' : look
    })
    .join('')
}

test('a sample that becomes at risk alerts once, however long it lasts', () => {
  expect(alertsAt('..xxxxxxxx')).toBe('..!xxxxxxx')
})

test('a sample that wavers does not alert again within a day', () => {
  expect(alertsAt(`x${'.'.repeat(23)}xx`)).toBe(`!${'.'.repeat(23)}xx`)
  expect(alertsAt('x.x.x.x..x')).toBe('!.x.x.x..x')
})

test('after a whole day below, the next time alerts', () => {
  expect(alertsAt(`x${'.'.repeat(24)}xx`)).toBe(`!${'.'.repeat(24)}!x`)
})

test('a poll at risk restarts the day below', () => {
  expect(alertsAt(`x${'.'.repeat(20)}x${'.'.repeat(20)}x`)).toBe(`!${'.'.repeat(20)}x${'.'.repeat(20)}x`)
})

test('an alarm that went off ahead of time goes off again under the same number', () => {
  const ahead = updateAlarm(INITIAL_ALARM, true, 72 * HOUR).alarm
  const back = updateAlarm(takeBackAlarm(ahead, HOUR), true, 2 * HOUR)
  expect(back).toEqual({ isAlerted: true, alarm: { isArmed: false, belowSince: null, alertCount: 1 } })
})

test('the day below that began ahead of time begins when the clock is back', () => {
  let { alarm } = updateAlarm(INITIAL_ALARM, true, 0)
  for (const hour of [72, 1]) alarm = updateAlarm(alarm, false, hour * HOUR).alarm
  expect(updateAlarm(alarm, true, 25 * HOUR).isAlerted).toBe(true)
})
