import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type Clock, type ClockState, getClockState } from '@/lib/hold/clock'
import { isMilestone } from '@/lib/hold/milestone'
import { getOpenStanding } from '@/lib/hold/standing'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { anyReports, anyTime, REPORTED_REGISTER } from './anyReports'
import { deriveKit, KIT, NOW, register } from './desk'

/** The states that a clock may change to when a reported milestone is reported again. */
const MAY_BECOME: Record<ClockState, ClockState[]> = {
  'not started': ['not started'],
  running: ['running', 'overrun'],
  overrun: ['overrun'],
  // A later receipt outweighs that it was lost: the clock goes on, and ended was not fresh.
  ended: ['ended', 'running', 'overrun'],
  early: ['early', 'lapsed'],
  kept: ['kept', 'early', 'lapsed'],
  lapsed: ['lapsed'],
  // The start may turn out to lie before the stop; the clock was unproven before, which is not fresh.
  unproven: ['unproven', 'early', 'kept', 'lapsed'],
}

/** Whether `after` looks at most as fresh as `before`. */
function checkClock(before: Clock, after: Clock) {
  if (before.startedAt !== null) {
    expect(after.startedAt).toBeLessThanOrEqual(before.startedAt)
    expect(after.dueAt).toBeLessThanOrEqual(before.dueAt as number)
  }
  if (before.earliestStopAt !== null)
    expect(after.earliestStopAt).toBeGreaterThanOrEqual(before.earliestStopAt)
  if (before.stoppedEarliestAt !== null)
    expect(after.stoppedEarliestAt).toBeLessThanOrEqual(before.stoppedEarliestAt)
  if (before.stoppedAt !== null) expect(after.stoppedAt).toBeGreaterThanOrEqual(before.stoppedAt)
  expect(MAY_BECOME[getClockState(before, NOW)]).toContain(getClockState(after, NOW))
}

const WORSE = ['sound', 'tight', 'at risk', 'lapsed'] as const

const RUNS = chooseUsualOrLong({ usual: 600, long: 3_000 })

test('another report of a milestone never makes a sample look fresher', () => {
  let reread = 0
  fc.assert(
    fc.property(anyReports, fc.nat(), anyTime, (events, choice, time) => {
      const before = deriveKit(events, { register: REPORTED_REGISTER })
      const counted = [...before.history.milestones.keys()].filter(isMilestone)
      fc.pre(counted.length > 0)
      const kind = counted[choice % counted.length]
      const read = readWireEvent({ source: 'other', id: 'once more', sample: KIT, kind, ...time }, (place) =>
        register.getZone(place),
      )
      if (!('event' in read)) throw new Error(JSON.stringify(read.faults))
      const after = deriveKit([...events, read.event], { register: REPORTED_REGISTER })
      expect(after.clocks.map(({ limit }) => limit.name)).toEqual(
        before.clocks.map(({ limit }) => limit.name),
      )
      before.clocks.forEach((clock, index) => {
        const now = after.clocks[index] as Clock
        checkClock(clock, now)
        if (now.startedAt !== clock.startedAt || now.stoppedAt !== clock.stoppedAt) reread += 1
      })
      if (before.settled === null && after.settled === null)
        expect(WORSE.indexOf(getOpenStanding(after.standingTimes, NOW))).toBeGreaterThanOrEqual(
          WORSE.indexOf(getOpenStanding(before.standingTimes, NOW)),
        )
    }),
    { numRuns: RUNS },
  )
  expect(reread).toBeGreaterThan(RUNS / 10)
})
