import { describe, expect, test } from 'vitest'
import { EVENT_KINDS, type EventKind, isEventKind } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { SAMPLE_ACTS } from '@/lib/judgement/acts'
import { OVERDUE_KINDS, type Overdue, type OverdueKind } from '@/lib/judgement/overdueKinds'
import { duePath, resolutionPath } from '@/lib/judgement/resolutionPath'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import { makeResponsible } from '@/lib/judgement/responsibility'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { may } from '@/lib/policy/reporting'
import type { ActKind, Actor } from '@/lib/schedule/act'
import type { DueLine, OwedTest } from '@/lib/schedule/owedTests'
import { makeOverdue, ONE, OVERDUE_CASES } from '../judgement/overdueCases'
import { ADMINISTRATOR, NOBODY } from '../judgement/responsibleViewer'

const PLACES = { plant: 'A & B', laboratory: 'NORTH' }
const OF_CARRIER = EVENT_KINDS.filter((kind) => KINDS[kind].reportedBy.includes('carrier'))

const overdue = (kind: OverdueKind, more: Partial<Overdue> = {}): Overdue => ({
  ...makeOverdue(kind),
  ...PLACES,
  actor: ACTORS[OVERDUE_CASES[kind].by],
  product: 'TILE/9',
  ...more,
})

const PLANT: Actor = { by: 'plant', code: PLACES.plant }
const DESK: Actor = { by: 'laboratory', code: PLACES.laboratory }
const READERS = [ADMINISTRATOR, makeResponsible(PLANT), makeResponsible(DESK), NOBODY]
const ACTORS = { programme: { by: 'programme' as const }, plant: PLANT, laboratory: DESK }
const getPath = (kind: OverdueKind, reader: ActingRoles) =>
  new URL(resolutionPath(overdue(kind), reader), 'http://desk')

/** Where what no event settles is settled. */
const PAGES: Partial<Record<OverdueKind, string>> = {
  'duty with no kit': '/setup/add/kits',
  'lapsed with no re-collection': '/setup/add/kits',
  'kit not posted': `/setup/kits/${ONE.code}`,
}

test.each(OVERDUE_KINDS)('the person who settles it gets a link to its form: %s', (kind) => {
  const url = getPath(kind, makeResponsible(overdue(kind).actor))
  const { act } = overdue(kind)
  const record = act && SAMPLE_ACTS[act].record
  if (record) expect(url.searchParams.get('record')).toBe(record)
  expect(url.pathname).toBe(PAGES[kind] ?? `/samples/${ONE.code}`)
  if (url.pathname.startsWith('/samples')) expect(url.hash).toBe('#record')
})

test('no kind of event is preselected for the carrier’s answer', () => {
  expect(getPath('under way too long', ADMINISTRATOR).searchParams.get('record')).toBe('carrier')
})

test.each(OVERDUE_KINDS)('nobody gets a link to a form that they may not use: %s', (kind) => {
  for (const roles of READERS) {
    const { pathname, searchParams } = getPath(kind, roles)
    if (pathname.startsWith('/setup')) expect(roles.isAdministrator).toBe(true)
    const record = searchParams.get('record')
    if (record === null) continue
    const person = {
      kind: 'person',
      id: '',
      email: '',
      name: '',
      roles: { ...NO_ROLES, ...roles },
    } as const
    const kinds = record === 'carrier' ? OF_CARRIER : [record]
    expect(kinds.length).toBeGreaterThan(0)
    expect(kinds.filter((one) => !isEventKind(one))).toEqual([])
    for (const one of kinds) expect(may(person, one as EventKind, PLACES)).toBe(true)
  }
  const { sample } = overdue(kind)
  expect(getPath(kind, NOBODY).pathname + getPath(kind, NOBODY).search).toBe(
    sample === null ? '/due?plant=A+%26+B' : `/samples/${sample}`,
  )
})

describe('what is due', () => {
  const due = (acts: ActKind[], actor: Actor, kit: string | null): DueLine => ({
    owed: { kit, plant: 'A & B', product: 'TILE', laboratory: 'NORTH', service: null } as OwedTest,
    acts,
    actor,
    dueDay: 0,
    zone: 'UTC',
    dueAt: 0,
  })
  const [plant, desk] = [PLANT, DESK]

  test('links its actor to the form, and others to its status', () => {
    const cut = due(['cut', 'hand over'], plant, 'AAAA2222')
    expect(duePath(cut, makeResponsible(plant))).toBe('/samples/AAAA2222#record')
    expect(duePath(cut, ADMINISTRATOR)).toBe('/samples/AAAA2222#record')
    expect(duePath(cut, makeResponsible(desk))).toBe('/samples/AAAA2222')
    const posting = due(['post kit'], { by: 'programme' }, 'AAAA2222')
    expect(duePath(posting, ADMINISTRATOR)).toBe('/setup/kits/AAAA2222')
    expect(duePath(posting, makeResponsible(plant))).toBe('/samples/AAAA2222')
  })

  test('links administrators to the issue of a kit, and nobody to a form of a missing sample', () => {
    const posting = due(['post kit'], { by: 'programme' }, null)
    expect(duePath(posting, ADMINISTRATOR)).toMatch(/^\/setup\/add\/kits\?/)
    expect(duePath(posting, makeResponsible(plant))).toBe('/due?plant=A+%26+B')
    for (const reader of READERS)
      expect(duePath(due(['cut'], plant, null), reader)).toBe('/due?plant=A+%26+B')
  })
})

test('the form for a ruling names the deviation that waits for it', () => {
  const path = resolutionPath(
    overdue('deviation with no ruling', { findings: ['desk 1/a&b=c', 'desk 1/d'] }),
    ADMINISTRATOR,
  )
  expect(new URL(path, 'http://desk').searchParams.get('on')).toBe('desk 1/a&b=c\ndesk 1/d')
})

test('an administrator gets links to the filled-in form of the kit to issue, and to the kit to post', () => {
  const asked = (kind: OverdueKind) => {
    const { pathname, searchParams } = getPath(kind, ADMINISTRATOR)
    return [pathname, Object.fromEntries(searchParams)]
  }
  const kit = { look: 'yes', plant: 'A & B', product: 'TILE/9', laboratory: 'NORTH' }
  expect(asked('duty with no kit')).toEqual(['/setup/add/kits', { ...kit, service: 'air', purpose: 'first' }])
  expect(asked('lapsed with no re-collection')).toEqual([
    '/setup/add/kits',
    { ...kit, service: 'air', purpose: 're-collection', replaces: ONE.code },
  ])
  expect(asked('kit not posted')).toEqual([`/setup/kits/${ONE.code}`, {}])
})
