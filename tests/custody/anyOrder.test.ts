import fc from 'fast-check'
import { expect, test } from 'vitest'
import { deduplicateEvents } from '@/lib/custody/assess'
import type { ReadEvent } from '@/lib/custody/event'
import { MILESTONES } from '@/lib/hold/milestone'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { anyReports, REPORTED_REGISTER } from './anyReports'
import { deriveKit, kits, listUnplaced } from './desk'

/** Everything derived from a set of events, as plain values. */
const deriveAll = (events: readonly ReadEvent[]) => ({
  samples: [...kits.keys()].map((of) => {
    const { history, ...sample } = deriveKit(events, { of, register: REPORTED_REGISTER })
    return {
      ...sample,
      history: { ...history, milestones: MILESTONES.map((one) => history.milestones.get(one)) },
    }
  }),
  unplaced: listUnplaced(deduplicateEvents(events).events).sort(),
})

const RUNS = chooseUsualOrLong({ usual: 300, long: 1_500 })

test('a sample does not depend on the order or repetition of events', () => {
  let corrected = 0
  let takenBack = 0
  let ruled = 0
  fc.assert(
    fc.property(
      anyReports.chain((events) =>
        fc.record({
          events: fc.constant(events),
          again: fc.shuffledSubarray(events),
          order: fc.array(fc.nat(), { minLength: 2 * events.length, maxLength: 2 * events.length }),
        }),
      ),
      ({ events, again, order }) => {
        const mixed = [...events, ...again]
          .map((event, index) => ({ event, at: order[index] ?? 0 }))
          .sort((a, b) => a.at - b.at)
          .map(({ event }) => event)
        const plain = deriveAll(events)
        if (plain.samples.some((sample) => sample.events.some(({ correctedBy }) => correctedBy.length > 0)))
          corrected += 1
        if (plain.samples.some((sample) => sample.events.some(({ takesBack }) => takesBack !== null)))
          takenBack += 1
        if (plain.samples.some((sample) => sample.findings.some(({ decision }) => decision !== null)))
          ruled += 1
        expect(deriveAll(mixed)).toEqual(plain)
      },
    ),
    { numRuns: RUNS },
  )
  // Makes sure that the random reports contain enough unusual cases.
  expect(corrected).toBeGreaterThan(RUNS / 15)
  expect(takenBack).toBeGreaterThan(0)
  expect(ruled).toBeGreaterThan(0)
})
