import { expect, test } from 'vitest'
import { eventKey, type ReadEvent } from '@/lib/custody/event'
import { english } from '@/lib/messages/english'
import { deriveKit, event, ms } from './desk'

const received = (at: string, condition: object) => event('received', at, { facts: { condition } })

test('the faults of a receipt include a seal of another number than was put on, also if it is broken', () => {
  const sealed = event('sealed', '2026-10-02T09:00:00Z', { facts: { sealNumber: 'S-4711' } })
  const resealed = event('deviation', '2026-10-03T09:00:00Z', {
    id: 'resealed',
    facts: { what: 'it broke', sealNumber: 'S 4712' },
  })
  const what = (condition: object, ...more: ReadEvent[]) =>
    deriveKit([sealed, ...more, received('2026-10-06T09:00:00Z', condition)])
      .findings.filter((one) => one.key.endsWith('#seal'))
      .map((one) => english.message(one.what))
  expect(what({ seal: 'intact', sealNumber: 's 4711' })).toEqual([])
  const differs = 'seal with number S 9, where S-4711 was put on'
  expect(what({ sealNumber: 'S 9' })).toEqual([differs])
  expect(what({ seal: 'broken', sealNumber: 'S 9' })).toEqual([
    'seal broken, and with number S 9, where S-4711 was put on',
  ])
  expect(what({ seal: 'broken', sealNumber: 'S4711' })).toEqual(['seal broken'])
  expect(what({ seal: 'other number', sealNumber: 'S 9' })).toEqual([
    'seal with another number than on the form',
  ])
  expect(what({ sealNumber: 'S 4712' }, resealed)).toEqual([])
  expect(what({ sealNumber: 'S 4712' })).toHaveLength(1)
  expect(what({ sealNumber: ' - ' })).toEqual([])
  // Nobody changes afterwards what a receipt found, by a later seal, a correction, or a finding of the laboratory.
  const later = (kind: 'sealed' | 'deviation', changes: object) =>
    event(kind, '2026-10-07T09:00:00Z', { facts: { sealNumber: 'S 9' }, ...changes })
  expect(what({ sealNumber: 'S 9' }, later('sealed', { id: 'again' }))).toEqual([differs])
  expect(what({ sealNumber: 'S 9' }, later('sealed', { id: 'again', corrects: eventKey(sealed) }))).toEqual([
    differs,
  ])
  expect(what({ sealNumber: 'S 9' }, later('deviation', { id: 'other' }))).toEqual([differs])
  const acceptedBy = (one: ReadEvent, at: string): ReadEvent => ({ ...one, acceptedAt: ms(at) })
  const receipt = acceptedBy(received('2026-10-06T09:00:00Z', { sealNumber: 'S 9' }), '2026-10-06T09:00:01Z')
  const early = event('sealed', '2026-10-02T10:00:00Z', { id: 'early', facts: { sealNumber: 'S 9' } })
  const count = (acceptedAt: string) =>
    deriveKit([sealed, acceptedBy(early, acceptedAt), receipt]).findings.filter((one) =>
      one.key.endsWith('#seal'),
    ).length
  expect([count('2026-10-02T10:00:01Z'), count('2026-10-08T09:00:00Z')]).toEqual([0, 1])
})

test('receipts that tell other numbers, or also a broken seal, have a finding each', () => {
  const sealed = event('sealed', '2026-10-02T09:00:00Z', { facts: { sealNumber: 'S-4711' } })
  const conditions = [
    { sealNumber: 'S 9' },
    { sealNumber: 's-9' },
    { sealNumber: 'S 8' },
    { seal: 'broken', sealNumber: 'S 9' },
  ]
  const receipts = conditions.map((condition, n) => received(`2026-10-06T09:0${n}:00Z`, condition))
  const found = deriveKit([sealed, ...receipts]).findings.filter(({ key }) => key.endsWith('#seal'))
  expect(found.map(({ what, keys }) => [english.message(what), keys.length])).toEqual([
    ['seal with number S 9, where S-4711 was put on', 2],
    ['seal with number S 8, where S-4711 was put on', 1],
    ['seal broken, and with number S 9, where S-4711 was put on', 1],
  ])
})
