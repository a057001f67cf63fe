import { expect, test } from 'vitest'
import { getClockState } from '@/lib/hold/clock'
import { storedClock } from '@/lib/store/projection/sampleRow'

test('a clock stored before there were least times reads as it did', () => {
  const limit = { name: 'cut to carrier', from: 'collected', to: 'dispatched', amount: 1, unit: 'hours' }
  const times = { startedAt: 0, stoppedAt: 5, dueAt: 3_600_000, firstDueAt: null }
  const clock = storedClock.parse({ limit, ...times, isEnded: false, isNotReported: false })
  expect(clock).toMatchObject({ stoppedEarliestAt: null, earliestStopAt: null })
  expect(getClockState(clock, Number.POSITIVE_INFINITY)).toBe('kept')
})
