import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { EVENT_KINDS, isEventKind } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { ENDINGS, isEnding, isMilestone, MILESTONES } from '@/lib/hold/milestone'
import { consignmentEvent, deriveKit, event, ms } from './desk'

/** Kinds that carriers report on the way. They change neither stage nor ending. */
const SEEN_ON_THE_WAY = EVENT_KINDS.filter(
  (kind) => KINDS[kind].reportedBy.includes('carrier') && !isMilestone(kind) && !isEnding(kind),
)

describe('the table of event kinds', () => {
  test('has the milestones in the order of life, then the endings, then the others', () => {
    expect(EVENT_KINDS.slice(0, MILESTONES.length)).toEqual(MILESTONES)
    expect(EVENT_KINDS.filter(isEnding)).toEqual(ENDINGS)
    expect(EVENT_KINDS.findLastIndex(isEnding)).toBe(MILESTONES.length + ENDINGS.length - 1)
    expect(EVENT_KINDS.every(isEventKind)).toBe(true)
    expect(['', 'Collected', 'constructor', '__proto__'].filter(isEventKind)).toEqual([])
  })

  test('has distinct names for lists and for buttons', () => {
    const rows = Object.values(KINDS)
    expect(new Set(rows.map(({ label }) => label)).size).toBe(rows.length)
    expect(new Set(rows.map(({ label, actionLabel = label }) => actionLabel)).size).toBe(rows.length)
  })

  test.each(EVENT_KINDS)('requires only fields that the form has: %s', (kind) => {
    const { fields, requiredFields = {} } = KINDS[kind]
    expect(fields).toEqual(expect.arrayContaining(Object.keys(requiredFields)))
    expect(new Set(fields).size).toBe(fields.length)
  })

  test.each(EVENT_KINDS)('says who reports each kind except a withdrawal: %s', (kind) => {
    expect(KINDS[kind].reportedBy.length > 0).toBe(KINDS[kind].requiredContent !== 'corrects')
  })

  test('agrees with the help page', () => {
    const [, told = ''] =
      /^\| `kind` +\| (.+?) +\|$/m.exec(readFileSync('public/help/connect.md', 'utf8')) ?? []
    expect(told.split(/[,;] /)).toEqual(EVENT_KINDS)
  })
})

/** Every event counts from its own time on, so it moves the instant from which the sample holds (`holdsFromAt`). */
test.each(SEEN_ON_THE_WAY)('“%s” is among the events of a sample and affects no clock', (kind) => {
  const before = [event('collected', '2026-11-08T10:00:00Z'), event('dispatched', '2026-11-08T15:00:00Z')]
  const said = event(kind, '2026-11-09T10:00:00Z')
  const [{ events: _, ...withoutEvents }, { events, ...sample }] = [
    deriveKit(before),
    deriveKit([...before, said]),
  ]
  expect(events.map((placed) => placed.event.kind)).toEqual(['collected', 'dispatched', kind])
  const held = kind === 'held' ? { by: null, untilAt: null, at: said.earliestAt } : null
  expect({ ...sample, holdsFromAt: null }).toEqual({
    ...withoutEvents,
    history: { ...withoutEvents.history, held },
    holdsFromAt: null,
  })
})

test('customs clearance of a waybill is shown on every sample and changes no standing', () => {
  const sent = { service: 'air', waybill: 'W1' }
  const cut = event('collected', '2026-11-06T10:00:00Z')
  const left = event('dispatched', '2026-11-06T15:00:00Z', sent)
  const held = consignmentEvent('held', '2026-11-07T09:00:00Z', { facts: { by: 'customs' } })
  const cleared = consignmentEvent('customs cleared', '2026-11-08T09:00:00Z')
  const [{ events: _, ...before }, { events, ...after }] = [
    deriveKit([cut, left, held]),
    deriveKit([cut, left, held, cleared]),
  ]
  expect(events.map((placed) => [placed.event.kind, placed.isByConsignment])).toEqual([
    ['collected', false],
    ['dispatched', false],
    ['held', true],
    ['customs cleared', true],
  ])
  expect(before.history.held?.by).toBe('customs')
  expect({ ...after, holdsFromAt: null }).toEqual({
    ...before,
    history: { ...before.history, held: null },
    holdsFromAt: null,
  })
  expect(after).toMatchObject({ settled: null, history: { stage: 'dispatched', ending: null } })
})

test('a sample is held until it is seen again, cleared or delivered', () => {
  const left = event('dispatched', '2026-11-06T15:00:00Z')
  const held = (until: string, more = {}) =>
    event('held', '2026-11-07T09:00:00Z', { facts: { by: 'customs', until }, zone: 'Europe/Lisbon', ...more })
  const at = ms('2026-11-07T09:00:00Z')
  expect(deriveKit([left, held('2026-11-09')]).history.held).toEqual({
    by: 'customs',
    untilAt: ms('2026-11-09T23:59:59.999Z'),
    at,
  })
  expect(
    deriveKit([left, held('2026-11-09T12:00', { place: 'NORTH', zone: null })]).history.held?.untilAt,
  ).toBe(ms('2026-11-09T17:00:00Z'))
  expect(deriveKit([left, held('soon')]).history.held).toEqual({ by: 'customs', untilAt: null, at })
  expect(
    deriveKit([left, held('2026-11-09'), event('scanned', '2026-11-06T20:00:00Z')]).history.held,
  ).not.toBeNull()
  for (const kind of ['scanned', 'customs cleared', 'delivered', 'lost'] as const)
    expect(
      deriveKit([left, held('2026-11-09'), event(kind, '2026-11-08T09:00:00Z')]).history.held,
      kind,
    ).toBeNull()
  // Whatever is received is not held, even if the day alone is known.
  const received = event('received', '2026-11-07', { place: 'NORTH' })
  expect(deriveKit([left, held('2026-11-09'), received]).history.held).toBeNull()
})
