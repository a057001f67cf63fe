import { describe, expect, test } from 'vitest'
import type { ReadEvent } from '@/lib/custody/event'
import { findKnownAt } from '@/lib/lane/model/journey'
import { buildJourney, computeKnownAt } from '@/lib/store/projection/buildJourney'
import { readJourney, toStoredJourney } from '@/lib/store/projection/storedJourney'
import { consignmentEvent, deriveKit, event, iso, KIT, ms, NOW } from '../../custody/desk'

/** An event that was received at another time than it names. */
const acceptedAt = (at: string, of: ReadEvent) => ({ ...of, acceptedAt: ms(at) })
const journey = (events: ReadEvent[], now = NOW) =>
  buildJourney(deriveKit(events, { now }), computeKnownAt(events))
const seen = (events: ReadEvent[], at: string) =>
  Object.fromEntries(
    [...findKnownAt(journey(events), ms(at)).milestones].map(([name, { earliestAt }]) => [
      name,
      iso(earliestAt),
    ]),
  )

const cut = event('collected', '2026-11-02T08:00:00Z')
const sent = event('dispatched', '2026-11-02T16:00:00Z', { service: 'air', waybill: 'w-1' })

describe('a journey', () => {
  test('has the service and the consignment of a sample', () => {
    expect(journey([cut])).toMatchObject({ code: KIT, service: null, consignment: null, ending: null })
    expect(journey([cut, sent])).toMatchObject({ service: 'air', consignment: '["air","W1"]' })
  })

  test('knows an event since its source wrote it down, else since we received it, else since it happened', () => {
    const written = event('collected', '2026-11-02T08:00:00Z', { reportedAt: '2026-11-03T09:00:00Z' })
    const came = acceptedAt('2026-11-04T09:00:00Z', cut)
    for (const [one, at] of [
      [{ ...came, ...written }, '2026-11-03T09:00:00.000Z'],
      [came, '2026-11-04T09:00:00.000Z'],
      [cut, '2026-11-02T08:00:00.000Z'],
    ] as const)
      expect(iso(journey([one]).reports[0]?.knownAt)).toBe(at)
  })

  test('shows what was known before and after a correction', () => {
    const slip = acceptedAt('2026-11-02T09:00:00Z', cut)
    const right = acceptedAt(
      '2026-11-05T09:00:00Z',
      event('collected', '2026-11-01T08:00:00Z', { id: 'right', corrects: `desk/${slip.id}` }),
    )
    expect(seen([slip, right], '2026-11-03T00:00:00Z')).toEqual({ collected: '2026-11-02T08:00:00.000Z' })
    expect(seen([slip, right], '2026-11-06T00:00:00Z')).toEqual({ collected: '2026-11-01T08:00:00.000Z' })
  })

  test('knows a consignment’s events only since a dispatch named the consignment', () => {
    const late = acceptedAt('2026-11-07T09:00:00Z', sent)
    const arrived = acceptedAt('2026-11-05T10:00:00Z', consignmentEvent('received', '2026-11-05T09:00:00Z'))
    expect(seen([late, arrived], '2026-11-06T00:00:00Z')).toEqual({})
    expect(seen([late, arrived], '2026-11-07T09:00:00Z')).toMatchObject({
      received: '2026-11-05T09:00:00.000Z',
    })
  })

  test('ends with the first ending that was not withdrawn', () => {
    const lost = acceptedAt('2026-11-06T12:00:00Z', event('lost', '2026-11-06T09:00:00Z'))
    const back = acceptedAt('2026-11-08T12:00:00Z', event('returned', '2026-11-05T09:00:00Z'))
    const undone = acceptedAt(
      '2026-11-09T12:00:00Z',
      event('withdrawn', '2026-11-09T12:00:00Z', { id: 'undone', corrects: `desk/${back.id}` }),
    )
    expect(journey([lost, back]).ending).toMatchObject({ kind: 'returned', at: ms('2026-11-05T09:00:00Z') })
    expect(journey([lost, back, undone]).ending).toMatchObject({
      kind: 'lost',
      knownAt: ms('2026-11-06T12:00:00Z'),
    })
  })

  test('is the same whenever it is built, and after storing', () => {
    const events = [cut, sent, event('loaded', '2026-11-12T09:00:00Z'), event('lost', '2026-11-14T09:00:00Z')]
    const early = journey(events, ms('2026-11-03T00:00:00Z'))
    expect(early).toEqual(journey(events, ms('2026-12-03T00:00:00Z')))
    const { code, plant, laboratory, issuedAt } = early
    const kept = JSON.parse(JSON.stringify(toStoredJourney(early)))
    expect(readJourney({ code, plant, laboratory, issued_at: new Date(issuedAt), journey: kept })).toEqual(
      early,
    )
  })
})
