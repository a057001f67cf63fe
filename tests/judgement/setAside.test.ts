import { describe, expect, test } from 'vitest'
import { findSetAside, parseSetAside, splitSetAside } from '@/lib/judgement/setAside'
import { ms } from '../custody/desk'
import { CUT_BY, findOverdueAt, justAfter } from './overdueCases'

describe('something set aside', () => {
  const NOW = ms('2026-11-25T12:00:00Z')
  test('needs a reason and a day, and lasts through that day', () => {
    expect(parseSetAside({ until: '', reason: ' ' }, 'Europe/Paris', NOW)).toMatchObject({
      faults: [{ field: 'until' }, { field: 'reason' }],
    })
    for (const until of ['2026-11-24', '2027-03-01', '2026-02-30'])
      expect(parseSetAside({ until, reason: 'line is down' }, 'Europe/Paris', NOW)).toMatchObject({
        faults: [{ field: 'until' }],
      })
    expect(parseSetAside({ until: '2026-12-04', reason: ' line is down ' }, 'Europe/Paris', NOW)).toEqual({
      untilAt: ms('2026-12-04T22:59:59.999Z'),
      reason: 'line is down',
    })
  })

  test('is not due until it ends, and the last one made counts', () => {
    const one = { subject: 'not cut/A', untilAt: NOW + 1000, reason: 'r', by: 'a', madeAt: NOW - 10 }
    const shorter = { ...one, untilAt: NOW + 10, madeAt: NOW - 5 }
    expect(findSetAside([shorter, one], 'not cut/A', NOW + 10)).toBe(shorter)
    expect(findSetAside([shorter, one], 'not cut/A', NOW + 11)).toBeNull()
    expect(findSetAside([one], 'not cut/B', NOW)).toBeNull()
    const found = findOverdueAt('not cut', justAfter(CUT_BY))
    const untilAt = ms('2026-11-09T00:00:00Z')
    const aside = { ...one, subject: found[0]?.subject as string, untilAt, madeAt: 0 }
    expect(splitSetAside(found, [aside], ms(justAfter(CUT_BY)))).toMatchObject({
      overdue: [],
      setAside: [{ overdue: { kind: 'not cut' }, entry: aside }],
    })
  })
})
