import { expect, test } from 'vitest'
import { isEventKind } from '@/lib/custody/event'
import { OVERDUE_KINDS, type Overdue, type OverdueKind } from '@/lib/schedule/overdue'
import { settlingPath } from '@/lib/schedule/settlingPath'

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

test('whatever is overdue on a sample leads to its page, with the form of what settles it', () => {
  const recorded = OVERDUE_KINDS.map((kind) => {
    const url = new URL(settlingPath(overdue(kind), false), 'http://desk')
    expect(url.pathname).toBe('/samples/AAAA2222')
    const record = url.searchParams.get('record')
    const isAsked = record === 'carrier' || (record !== null && isEventKind(record))
    expect(record === null || (isAsked && url.hash === '#record')).toBe(true)
    return [kind, record]
  })
  expect(Object.fromEntries(recorded)).toMatchObject({
    'not cut': 'collected',
    'not handed over': 'dispatched',
    // The carrier may say anything: no kind of event is put forward.
    'under way too long': 'carrier',
    'delivered but not received': 'received',
    'not loaded in time': 'loaded',
    'deviation with no ruling': 'ruling',
    'form copy missing': 'form copy',
    'report late': 'reported',
  })
})

test('a ruling is asked for on the deviation that waits for it', () => {
  const path = settlingPath(overdue('deviation with no ruling', { deviation: 'desk 1/a&b=c' }), true)
  expect(new URL(path, 'http://desk').searchParams.get('on')).toBe('desk 1/a&b=c')
})

test('an administrator is led to the kit that is to be issued, filled in, and to the one that is to be posted', () => {
  const asked = (kind: OverdueKind, more?: Partial<Overdue>) => {
    const { pathname, searchParams } = new URL(settlingPath(overdue(kind, more), true), 'http://desk')
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
  expect(settlingPath(overdue('duty with no kit', { sample: null }), false)).toBe('/due?plant=A+%26+B')
})
