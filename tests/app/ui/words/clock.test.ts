import { describe, expect, test } from 'vitest'
import { formatClock, formatLimit } from '@/app/ui/words/clock'
import type { LimitFields } from '@/lib/hold/limit'
import { DAY, HOUR } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import { limit as anyLimit } from '../../../hold/places'
import { clock } from '../../sampleRows'

const cutAt = Date.parse('2026-11-02T10:00:00Z')
const dueAt = cutAt + 10 * DAY

describe('the state of a clock', () => {
  test.each([
    ['not started: begins once it is cut', clock({})],
    ['its start was not reported', clock({ isNotReported: true })],
    ['never started', clock({ isEnded: true })],
    ['running: 9 days left', clock({ startedAt: cutAt })],
    ['running: 9 days left, and 6 days before it may stop', clock({ startedAt: cutAt }, { atLeast: 7 * 24 })],
    ['running: 9 days left', clock({ startedAt: cutAt }, { atLeast: 24 })],
    [
      'early: stopped 2 hours too soon',
      clock({ startedAt: cutAt, stoppedAt: cutAt + 22 * HOUR }, { atLeast: 24 }),
    ],
    ['kept with 9 days 12 hours to spare', clock({ startedAt: cutAt, stoppedAt: cutAt + 12 * HOUR })],
    ['lapsed: missed by 2 hours', clock({ startedAt: cutAt, stoppedAt: dueAt + 2 * HOUR })],
    ['ended with the sample', clock({ startedAt: cutAt, isEnded: true })],
    ['unproven: its start was not reported', clock({ stoppedAt: cutAt })],
    ['unproven: its stop is before its start', clock({ startedAt: cutAt, stoppedAt: cutAt - 1 })],
    ['its stop was not reported', clock({ startedAt: cutAt, isNotReported: true })],
    [
      'kept with 1 day to spare, by extension',
      clock({
        startedAt: cutAt,
        stoppedAt: dueAt + DAY,
        grants: [{ grantedAt: cutAt, untilAt: dueAt + 2 * DAY }],
      }),
    ],
  ])('is %s', (words, one) => expect(formatClock(english, one, cutAt + DAY)).toBe(words))
})

describe('what a limit allows', () => {
  const limit = (parts: Partial<LimitFields>) => anyLimit({ name: 'n', unit: 'days', ...parts })
  test.each([
    [
      'At most 24 hours from when it was cut until it is in the carrier’s hands.',
      limit({ amount: 24, unit: 'hours', to: 'dispatched' }),
    ],
    [
      'At most 10 days of 24 hours from when it was cut until it is in the chamber.',
      limit({ counting: 'elapsed' }),
    ],
    [
      'At most 10 days of the laboratory’s calendar from when it was cut until it is in the chamber.',
      limit({ counting: 'calendar' }),
    ],
    [
      'At most 1 month of the plant’s calendar from when it was made until it is reported.',
      limit({ amount: 1, unit: 'months', zone: 'plant', from: 'produced', to: 'reported' }),
    ],
    [
      'At most 3 working days of the laboratory from when it was received until it is in conditioning.',
      limit({ amount: 3, unit: 'working days', from: 'received', to: 'conditioned' }),
    ],
    [
      'By the end of the day on which it was cut, by the plant’s calendar, it must be sealed.',
      limit({ amount: 0, counting: 'calendar', zone: 'plant', to: 'sealed' }),
    ],
  ])('reads: %s', (words, one) => expect(formatLimit(english, one)).toBe(words))
})
