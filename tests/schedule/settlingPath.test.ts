import { describe, expect, test } from 'vitest'
import { mayRecord } from '@/lib/access/mayRecord'
import { type EventKind, isEventKind } from '@/lib/custody/event'
import type { ActKind, Actor } from '@/lib/schedule/act'
import type { DueLine } from '@/lib/schedule/dueLines'
import type { Part } from '@/lib/schedule/hasToAct'
import { OVERDUE_KINDS, type Overdue, type OverdueKind } from '@/lib/schedule/overdue'
import type { Owed } from '@/lib/schedule/owed'
import { duePath, settlingPath } from '@/lib/schedule/settlingPath'
import { ADMINISTRATOR, NOBODY, readerOf } from './readerOf'

const overdue = (kind: OverdueKind, more: Partial<Overdue> = {}): Overdue => ({
  kind,
  actor: { by: 'programme' },
  remedy: 'issue a kit',
  sinceAt: 0,
  zone: 'UTC',
  plant: 'A & B',
  laboratory: 'NORTH',
  product: 'TILE/9',
  sample: 'AAAA2222',
  duty: null,
  number: null,
  reason: null,
  deviation: null,
  subject: 'any',
  ...more,
})

/** Who has to do what each kind asks for. */
const ACTORS: Record<OverdueKind, Actor> = {
  'duty with no kit': { by: 'programme' },
  'kit not posted': { by: 'programme' },
  'not cut': { by: 'plant', code: 'A & B' },
  'not handed over': { by: 'plant', code: 'A & B' },
  'under way too long': { by: 'programme' },
  'delivered but not received': { by: 'laboratory', code: 'NORTH' },
  'not loaded in time': { by: 'laboratory', code: 'NORTH' },
  'lapsed with no re-collection': { by: 'programme' },
  'deviation with no ruling': { by: 'programme' },
  'form copy missing': { by: 'plant', code: 'A & B' },
  'report late': { by: 'laboratory', code: 'NORTH' },
}
const READERS = [ADMINISTRATOR, readerOf(ACTORS['not cut']), readerOf(ACTORS['report late']), NOBODY]
const linkOf = (kind: OverdueKind, reader: Part) =>
  new URL(settlingPath(overdue(kind, { actor: ACTORS[kind] }), reader), 'http://desk')

test('whatever is overdue on a sample leads who settles it to the form for that', () => {
  const recorded = OVERDUE_KINDS.map((kind) => {
    const url = linkOf(kind, readerOf(ACTORS[kind]))
    const record = url.searchParams.get('record')
    if (url.pathname === '/samples/AAAA2222') expect(url.hash).toBe('#record')
    return [kind, record ?? url.pathname]
  })
  expect(Object.fromEntries(recorded)).toEqual({
    'duty with no kit': '/setup/add/kits',
    'kit not posted': '/setup/kits/AAAA2222',
    'not cut': 'collected',
    'not handed over': 'dispatched',
    // The carrier may say anything: no kind of event is put forward.
    'under way too long': 'carrier',
    'delivered but not received': 'received',
    'not loaded in time': 'loaded',
    'lapsed with no re-collection': '/setup/add/kits',
    'deviation with no ruling': 'ruling',
    'form copy missing': 'form copy',
    'report late': 'reported',
  })
})

test.each(OVERDUE_KINDS)('nobody is led to a form that they may not fill: %s', (kind) => {
  const ends = { plant: 'A & B', laboratory: 'NORTH' }
  for (const roles of READERS) {
    const { pathname, searchParams } = linkOf(kind, roles)
    if (pathname.startsWith('/setup')) expect(roles.isAdministrator).toBe(true)
    const record = searchParams.get('record')
    if (record === null) continue
    const person = {
      kind: 'person',
      id: '',
      email: '',
      name: '',
      roles: { ...roles, isReader: false },
    } as const
    const kinds =
      record === 'carrier' ? (['scanned', 'held', 'delivered', 'lost'] as const) : [record as EventKind]
    expect(kinds.every(isEventKind)).toBe(true)
    for (const one of kinds) expect(mayRecord(person, one, ends)).toBe(true)
  }
  expect(linkOf(kind, NOBODY).pathname + linkOf(kind, NOBODY).search).toBe('/samples/AAAA2222')
})

describe('what is due', () => {
  const due = (acts: ActKind[], actor: Actor, kit: string | null): DueLine => ({
    owed: { kit, plant: 'A & B', product: 'TILE', laboratory: 'NORTH', service: null } as Owed,
    acts,
    actor,
    dueDay: 0,
    zone: 'UTC',
    dueAt: 0,
  })
  const [plant, desk] = [ACTORS['not cut'], ACTORS['report late']]

  test('leads who does it to where it is recorded, and others to how it stands', () => {
    const cut = due(['cut', 'hand over'], plant, 'AAAA2222')
    expect(duePath(cut, readerOf(plant))).toBe('/samples/AAAA2222#record')
    expect(duePath(cut, ADMINISTRATOR)).toBe('/samples/AAAA2222#record')
    expect(duePath(cut, readerOf(desk))).toBe('/samples/AAAA2222')
    const posting = due(['post kit'], { by: 'programme' }, 'AAAA2222')
    expect(duePath(posting, ADMINISTRATOR)).toBe('/setup/kits/AAAA2222')
    expect(duePath(posting, readerOf(plant))).toBe('/samples/AAAA2222')
  })

  test('leads to the issue of a kit who may do that, and nobody to a form of a sample that is not there yet', () => {
    const posting = due(['post kit'], { by: 'programme' }, null)
    expect(duePath(posting, ADMINISTRATOR)).toMatch(/^\/setup\/add\/kits\?/)
    expect(duePath(posting, readerOf(plant))).toBe('/due?plant=A+%26+B')
    for (const reader of READERS)
      expect(duePath(due(['cut'], plant, null), reader)).toBe('/due?plant=A+%26+B')
  })
})

test('a ruling is asked for on the deviation that waits for it', () => {
  const path = settlingPath(overdue('deviation with no ruling', { deviation: 'desk 1/a&b=c' }), ADMINISTRATOR)
  expect(new URL(path, 'http://desk').searchParams.get('on')).toBe('desk 1/a&b=c')
})

test('an administrator is led to the kit that is to be issued, filled in, and to the one that is to be posted', () => {
  const asked = (kind: OverdueKind, more?: Partial<Overdue>) => {
    const { pathname, searchParams } = new URL(
      settlingPath(overdue(kind, more), ADMINISTRATOR),
      'http://desk',
    )
    return [pathname, Object.fromEntries(searchParams)]
  }
  const kit = { look: 'yes', plant: 'A & B', product: 'TILE/9', laboratory: 'NORTH' }
  expect(asked('duty with no kit', { sample: null })).toEqual([
    '/setup/add/kits',
    { ...kit, purpose: 'first' },
  ])
  expect(asked('lapsed with no re-collection')).toEqual([
    '/setup/add/kits',
    { ...kit, purpose: 're-collection', replaces: 'AAAA2222' },
  ])
  expect(asked('kit not posted')).toEqual(['/setup/kits/AAAA2222', {}])
})

test('what has no sample yet leads whoever cannot issue a kit to what is due', () => {
  expect(settlingPath(overdue('duty with no kit', { sample: null }), NOBODY)).toBe('/due?plant=A+%26+B')
})
