import { expect, test } from 'vitest'
import { message } from '@/lib/messages/message'
import { deriveKit, event, iso, listFlags } from './desk'

const found = event('deviation', '2026-10-05T14:00:00Z', { facts: { what: 'bag leaking' } })
const on = 'desk/deviation at 2026-10-05T14:00:00Z'
const ruling = (at: string, facts: Record<string, unknown>) => event('ruling', at, { facts })

test('a deviation waits for a ruling, and the latest one counts', () => {
  expect(deriveKit([found]).findings).toEqual([
    {
      key: on,
      grade: 'hold',
      what: message('finding.reported', { what: 'bag leaking' }),
      at: Date.parse('2026-10-05T14:00:00Z'),
      decision: null,
    },
  ])
  const rulings = [
    ruling('2026-10-06T09:00:00Z', { on, ruling: 'use', reason: 'seal unbroken' }),
    ruling('2026-10-07T09:00:00Z', { on, ruling: 'cut again', reason: 'seal broken after all' }),
  ]
  const expected = { ruling: 'cut again', reason: 'seal broken after all' }
  expect(deriveKit([found, ...rulings]).findings[0]?.decision).toMatchObject(expected)
  expect(deriveKit([...rulings.reverse(), found]).findings[0]?.decision).toMatchObject(expected)
})

test('a withdrawn ruling leaves the deviation without one', () => {
  const ruled = ruling('2026-10-06T09:00:00Z', { on, ruling: 'use' })
  const withdrawn = event('withdrawn', '2026-10-06T10:00:00Z', {
    corrects: 'desk/ruling at 2026-10-06T09:00:00Z',
  })
  expect(deriveKit([found, ruled, withdrawn]).findings[0]?.decision).toBeNull()
})

test.each([
  ['names no deviation', { ruling: 'use' }],
  ['names one of another sample', { on: 'desk/elsewhere', ruling: 'use' }],
  ['says nothing that can be done', { on, ruling: 'perhaps' }],
])('a ruling that %s has no effect, and is flagged', (_, facts) => {
  const sample = deriveKit([found, ruling('2026-10-06T09:00:00Z', facts)])
  expect(sample.findings[0]?.decision).toBeNull()
  expect(listFlags(sample)).toContain('ruling settles nothing')
})

test('a sample knows when the first copy of its form came', () => {
  expect(deriveKit([found]).formCopyAt).toBeNull()
  const copies = [event('form copy', '2026-10-04T09:00:00Z'), event('form copy', '2026-10-03T09:00:00Z')]
  expect(iso(deriveKit(copies).formCopyAt)).toBe('2026-10-03T09:00:00.000Z')
})
