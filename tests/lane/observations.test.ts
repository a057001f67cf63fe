import { describe, expect, test } from 'vitest'
import type { Journey } from '@/lib/lane/model/journey'
import type { Places } from '@/lib/lane/model/places'
import type { Stage } from '@/lib/lane/model/stage'
import { buildTestModel, journey, lanePlaces, ms } from './lanes'

const TRANSIT: Stage = { from: 'dispatched', to: 'received' }
const CUT: Stage = { from: 'collected', to: 'dispatched' }
const LOAD: Stage = { from: 'received', to: 'loaded' }
const NOW = '2026-10-30T12:00:00Z'

/** The observations of a stage as `steps`, with a bar after those that have not arrived. */
function seen(stage: Stage, journeys: Journey[], now = NOW, places: Places = lanePlaces()) {
  return buildTestModel(journeys, now, places)
    .getStage(stage)
    .observations.map(({ steps, hasArrived }) => `${steps}${hasArrived ? '' : '|'}`)
}

const sent = (dispatched: string, received: string) => journey({ dispatched, received })

describe('transit is counted in open days of the laboratory after the local date of the dispatch', () => {
  test.each([
    // Wednesday, 16 September 2026; New York is four hours behind UTC.
    ['the same day', '2026-09-16T10:00:00Z', '2026-09-16T15:00:00Z', '0'],
    ['the next day', '2026-09-16T10:00:00Z', '2026-09-17T15:00:00Z', '1'],
    ['over a weekend, which does not count', '2026-09-16T10:00:00Z', '2026-09-21T15:00:00Z', '3'],
    [
      'on a Saturday, which counts as the Monday after it',
      '2026-09-16T10:00:00Z',
      '2026-09-19T15:00:00Z',
      '3',
    ],
    ['from a Saturday to the Monday', '2026-09-19T10:00:00Z', '2026-09-21T15:00:00Z', '1'],
    ['from a Saturday to the same Saturday', '2026-09-19T10:00:00Z', '2026-09-19T15:00:00Z', '0'],
  ])('%s', (_, dispatched, received, steps) =>
    expect(seen(TRANSIT, [sent(dispatched, received)])).toEqual([steps]),
  )

  test('a holiday of the laboratory does not count', () => {
    const places = lanePlaces({ closed: ['2026-09-17'] })
    expect(seen(TRANSIT, [sent('2026-09-16T10:00:00Z', '2026-09-18T15:00:00Z')], NOW, places)).toEqual(['1'])
  })

  test("the date is the plant's own, even where the laboratory still has the day before", () => {
    // 20:00Z on the 16th is half past one on the 17th in Kolkata, and the afternoon of the 16th in New York.
    const parts = { plant: 'P2', dispatched: '2026-09-16T20:00:00Z' }
    expect(seen(TRANSIT, [journey({ ...parts, received: '2026-09-17T15:00:00Z' })])).toEqual(['0'])
    expect(seen(TRANSIT, [journey({ ...parts, received: '2026-09-16T22:00:00Z' })])).toEqual(['0'])
    expect(seen(TRANSIT, [journey({ ...parts, received: '2026-09-18T15:00:00Z' })])).toEqual(['1'])
  })

  // A pickup at 16:00 on Tuesdays and Thursdays. In Lisbon 15:00Z is 16:00 in summer.
  const pickups = { 'P1 road': [null, null, 960, null, 960, null, null] }
  test.each([
    ['at the pickup hour: that day', '2026-09-15T15:00:00Z', '2026-09-16T15:00:00Z', '1'],
    ['a minute later: from the next pickup day', '2026-09-15T15:01:00Z', '2026-09-18T15:00:00Z', '1'],
    [
      'on a day without pickup: from the next pickup day',
      '2026-09-16T09:00:00Z',
      '2026-09-18T15:00:00Z',
      '1',
    ],
    ['and what comes before that day comes at step 0', '2026-09-15T15:01:00Z', '2026-09-16T15:00:00Z', '0'],
  ])('handed over %s', (_, dispatched, received, steps) =>
    expect(seen(TRANSIT, [sent(dispatched, received)], NOW, lanePlaces({ pickups }))).toEqual([steps]),
  )
})

test("the days before transit are the workdays of the plant, those after it the laboratory's from its own date", () => {
  const places = lanePlaces({ closed: ['2026-09-21'] })
  const one = journey({
    // Friday in Lisbon to Monday: one workday, whatever the laboratory does.
    collected: '2026-09-18T10:00:00Z',
    dispatched: '2026-09-21T10:00:00Z',
    // 03:00Z on the 24th is the evening of the 23rd in New York.
    received: '2026-09-24T03:00:00Z',
    loaded: '2026-09-24T15:00:00Z',
  })
  expect(seen(CUT, [one], NOW, places)).toEqual(['1'])
  expect(seen(LOAD, [one], NOW, places)).toEqual(['1'])
})

describe('what cannot be used is left out and counted', () => {
  const of = (one: Journey, stage = TRANSIT) => buildTestModel([one], NOW).getStage(stage)

  test('a receipt before the dispatch, by the instant', () => {
    const found = of(sent('2026-09-16T10:00:00Z', '2026-09-16T09:59:59Z'))
    expect([found.observations, found.outOfOrder]).toEqual([[], 1])
    expect(of(sent('2026-09-16T10:00:00Z', '2026-09-16T10:00:00Z')).outOfOrder).toBe(0)
  })

  test('a milestone that was not reported though a later one was', () => {
    const noReceipt = journey({ dispatched: '2026-09-16T10:00:00Z', loaded: '2026-09-18T15:00:00Z' })
    expect([of(noReceipt).observations, of(noReceipt).notReported]).toEqual([[], 1])
    const noDispatch = journey({ collected: '2026-09-14T10:00:00Z', received: '2026-09-18T15:00:00Z' })
    expect([of(noDispatch).observations, of(noDispatch).notReported]).toEqual([[], 1])
    expect(of(noDispatch, CUT).notReported).toBe(1)
  })
})

describe('samples of one consignment are one observation', () => {
  const box = { dispatched: '2026-09-16T10:00:00Z', received: '2026-09-17T15:00:00Z', consignment: 'road W1' }

  test('each weighs 1/m, m being how many of them were seen in the stage', () => {
    const alone = sent('2026-09-16T10:00:00Z', '2026-09-18T15:00:00Z')
    const model = buildTestModel(
      [journey(box), journey(box), journey({ ...box, received: '2026-09-16T09:00:00Z' }), alone],
      NOW,
    )
    expect(model.getStage(TRANSIT).observations.map(({ weight }) => weight)).toEqual([1 / 2, 1 / 2, 1])
    expect(model.getStage(TRANSIT).fit.evidence([]).consignments).toBeCloseTo(2, 12)
  })

  test('a box of twenty changes the lane no more than one sample', () => {
    const others = [1, 2, 3].map((day) => sent(`2026-09-0${day}T10:00:00Z`, `2026-09-0${day + 1}T15:00:00Z`))
    const late = { ...box, received: '2026-09-22T15:00:00Z' }
    const twenty = buildTestModel([...others, ...Array.from({ length: 20 }, () => journey(late))], NOW)
    const one = buildTestModel([...others, journey(late)], NOW)
    const hazards = (model: typeof one) =>
      [...model.getStage(TRANSIT).fit.hazards([])].map((h) => h.toFixed(12))
    expect(hazards(twenty)).toEqual(hazards(one))
  })
})

describe('endings', () => {
  const ended = (
    kind: 'lost' | 'returned' | 'rejected' | 'cancelled',
    parts: Parameters<typeof journey>[0] = {},
  ) =>
    journey({
      collected: '2026-09-15T10:00:00Z',
      dispatched: '2026-09-16T10:00:00Z',
      // 15:00Z on Friday.
      ending: { kind, at: ms('2026-09-18T15:00:00Z'), knownAt: ms('2026-09-18T15:00:00Z') },
      ...parts,
    })

  test.each(['lost', 'returned'] as const)('%s stays at risk to the last step and never arrives', (kind) => {
    expect(seen(TRANSIT, [ended(kind)])).toEqual(['Infinity|'])
    const model = buildTestModel([ended(kind), sent('2026-09-16T10:00:00Z', '2026-09-17T15:00:00Z')], NOW)
    const { fit } = model.getStage(TRANSIT)
    // Two at risk to step 1, where one arrives; the other is at risk from then on to the last.
    expect(fit.curve([]).map(({ atRisk }) => atRisk)).toEqual([2, 2, ...Array(29).fill(1)])
  })

  test('rejected has arrived: at its receipt, or if that was not reported, at the rejection', () => {
    expect(seen(TRANSIT, [ended('rejected', { received: '2026-09-17T15:00:00Z' })])).toEqual(['1'])
    expect(seen(TRANSIT, [ended('rejected')])).toEqual(['2'])
    // The laboratory stage is censored at the end of the day before.
    expect(seen(LOAD, [ended('rejected', { received: '2026-09-16T15:00:00Z' })])).toEqual(['1|'])
  })

  test('cancelled before the dispatch never entered', () => {
    const one = ended('cancelled')
    const before = { ...one, reports: one.reports.filter(({ milestone }) => milestone === 'collected') }
    const found = buildTestModel([before], NOW).getStage(CUT)
    expect([found.observations, found.neverEntered]).toEqual([[], 1])
  })

  test('cancelled later is censored at the end of the day before', () => {
    expect(seen(TRANSIT, [ended('cancelled')])).toEqual(['1|'])
  })
})

describe('a shipment under way', () => {
  // Reported at once, so the cutoff is now. Dispatched on Wednesday, 16 September.
  const open = journey({ dispatched: '2026-09-16T10:00:00Z' })
  test.each([
    ['the same day: nothing yet', '2026-09-16T20:00:00Z', '-1|'],
    ['on Thursday: not on Wednesday', '2026-09-17T20:00:00Z', '0|'],
    ['when Thursday is over in New York', '2026-09-18T04:00:00Z', '1|'],
    ['and not a moment before', '2026-09-18T03:59:59Z', '0|'],
    ['on Monday: not on Friday', '2026-09-21T15:00:00Z', '2|'],
    ['on Sunday, too', '2026-09-20T15:00:00Z', '2|'],
  ])('is known not to have arrived only on days that are over: %s', (_, now, steps) => {
    // A receipt elsewhere, long ago, reported at once.
    const other = sent('2026-08-03T10:00:00Z', '2026-08-04T15:00:00Z')
    expect(seen(TRANSIT, [other, open], now)[1]).toBe(steps)
  })

  test('for longer than 30 open days is presumed lost, and listed', () => {
    const other = sent('2026-08-03T10:00:00Z', '2026-08-04T15:00:00Z')
    // From 16 September, the 30th open day after it is Wednesday, 28 October (nothing closed but weekends).
    const at = (now: string) => buildTestModel([other, open], now)
    expect(at('2026-10-29T12:00:00Z').presumedLost).toEqual([])
    expect(seen(TRANSIT, [other, open], '2026-10-29T12:00:00Z')[1]).toBe('30|')
    expect(at('2026-10-30T12:00:00Z').presumedLost).toEqual([open.code])
    expect(seen(TRANSIT, [other, open], '2026-10-30T12:00:00Z')[1]).toBe('Infinity|')
    // A sample with a later milestone is not presumed lost.
    const later = {
      ...open,
      reports: [...open.reports, ...journey({ loaded: '2026-10-20T10:00:00Z' }).reports],
    }
    expect(buildTestModel([other, later], '2026-10-30T12:00:00Z').presumedLost).toEqual([])
    expect(
      buildTestModel([other, open], '2026-09-30T12:00:00Z', undefined, { presumedLostSteps: 5 }).presumedLost,
    ).toEqual([open.code])
  })
})
