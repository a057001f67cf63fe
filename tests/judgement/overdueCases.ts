import type { Kit, Register } from '@/lib/custody/register'
import type { Overdue, OverdueKind } from '@/lib/judgement/overdueKinds'
import type { Actor } from '@/lib/schedule/act'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { ms } from '../custody/desk'
import { type EventInput, kit, makeProgramme, makeRegister } from '../schedule/programme'

/** A sample with exactly one thing overdue, a millisecond after it was in time. */
export interface OverdueCase {
  by: Actor['by']
  /** Null if no kit was issued. */
  kit: Kit | null
  events: readonly EventInput[]
  register?: Register
  lastInTime: string
  /** Since when it is overdue; absent if from `lastInTime`. */
  since?: string
}

export const ONE = kit('AAAA222')

/**
 * The test due by 2026-11-30, a Monday: report Mon 30 Nov, end of test five open days before (Thu 26 is closed):
 * Fri 20, in the chamber by Fri 6, received by Thu 5, three open days before: handed over by Mon 2 Nov, when the
 * service calls; the kit is posted four days before: Thu 29 Oct.
 */
export const POST_BY = '2026-10-29T22:59:59.999Z'
export const CUT_BY = '2026-11-02T23:59:59.999Z'

export const CUT: EventInput = ['collected', '2026-10-30T10:00:00Z']
export const LEFT: EventInput = ['dispatched', '2026-10-30T13:00:00Z', { service: 'air' }]
export const COPY: EventInput = ['form copy', '2026-10-30T13:30:00Z']
export const SAFE: EventInput[] = [CUT, LEFT, COPY]
export const DEVIATION: EventInput = [
  'deviation',
  '2026-11-02T15:00:00Z',
  { id: 'd', facts: { what: 'bag leaking' } },
]

/** The desk's register with another amount for one limit. */
export function registerWithLimit(name: string, amount: number): Register {
  const { protocols } = makeRegister()
  return makeRegister({
    protocols: [...protocols.values()].map((protocol) => ({
      ...protocol,
      limits: protocol.limits.map((limit) => (limit.name === name ? { ...limit, amount } : limit)),
    })),
  })
}

export const OVERDUE_CASES: Record<OverdueKind, OverdueCase> = {
  'duty with no kit': { by: 'programme', kit: null, events: [], lastInTime: POST_BY },
  'kit not posted': {
    by: 'programme',
    kit: kit('AAAA222', { posted: 'not yet' }),
    events: [],
    lastInTime: POST_BY,
  },
  'not cut': { by: 'plant', kit: ONE, events: [], lastInTime: CUT_BY },
  'not handed over': {
    by: 'plant',
    kit: ONE,
    events: [CUT],
    // The clock from cut to carrier has 24 hours; with a week, the sample misses the next pickup first, at 16:30.
    register: registerWithLimit('cut to carrier', 168),
    lastInTime: '2026-11-02T16:30:00Z',
  },
  'under way too long': {
    by: 'programme',
    kit: ONE,
    events: SAFE,
    // Left on Friday 30 October with the pickup: four open days in New York are over with Thursday 5 November.
    register: registerWithLimit('in transit', 30),
    lastInTime: '2026-11-06T04:59:59.999Z',
  },
  'delivered but not received': {
    by: 'laboratory',
    kit: ONE,
    events: [...SAFE, ['delivered', '2026-11-02T15:00:00Z']],
    lastInTime: '2026-11-04T04:59:59.999Z',
  },
  'not loaded in time': {
    by: 'laboratory',
    kit: ONE,
    events: [...SAFE, ['received', '2026-11-02T15:00:00Z']],
    // The duty gives one working day.
    lastInTime: '2026-11-04T04:59:59.999Z',
  },
  'lapsed with no re-collection': {
    by: 'programme',
    kit: ONE,
    events: [...SAFE, ['received', '2026-11-03T15:00:00Z']],
    // Ten calendar days from 30 October are over with 9 November in New York; three working days from 3 November with 6.
    lastInTime: '2026-11-07T04:59:59.999Z',
  },
  'deviation with no ruling': {
    by: 'programme',
    kit: ONE,
    events: [...SAFE, ['received', '2026-11-02T15:00:00Z'], ['loaded', '2026-11-02T15:00:00Z'], DEVIATION],
    // In the chamber it is ruled on by the office's next working day, in Paris.
    lastInTime: '2026-11-03T22:59:59.999Z',
  },
  'form copy missing': {
    by: 'plant',
    kit: ONE,
    events: [CUT, LEFT],
    lastInTime: '2026-11-02T23:59:59.999Z',
  },
  'report late': {
    by: 'laboratory',
    kit: ONE,
    events: [...SAFE, ['received', '2026-11-02T15:00:00Z'], ['loaded', '2026-11-03T15:00:00Z']],
    lastInTime: '2026-12-01T04:59:59.999Z',
  },
}

/** The millisecond after an instant. */
export const justAfter = (text: string) => new Date(ms(text) + 1).toISOString()

/** What is overdue at `now` in the case of a kind with `more` events. */
export function findOverdueAt(kind: OverdueKind, now: string, ...more: EventInput[]): Overdue[] {
  const { kit: of, events: said, register = makeRegister() } = OVERDUE_CASES[kind]
  return findProgrammeOverdue(makeProgramme(now, of === null ? [] : [[of, [...said, ...more]]], { register }))
}

/** Something overdue, from the case of its kind. */
export function makeOverdue(kind: OverdueKind): Overdue {
  const found = findOverdueAt(kind, justAfter(OVERDUE_CASES[kind].lastInTime)).find(
    (one) => one.kind === kind,
  )
  if (!found) throw new Error(`The case of “${kind}” has none.`)
  return found
}
