import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { deriveKit, event, getState, iso } from './desk'

const cut = event('collected', '2026-10-20T10:00:00Z')
const left = event('dispatched', '2026-10-20T15:00:00Z')
const found = event('deviation', '2026-10-21T09:00:00Z', { id: 'found', facts: { what: 'bag torn' } })
const rule = (at: string, ruling: string) => event('ruling', at, { facts: { on: 'desk/found', ruling } })

describe('the carrier’s word that a sample is lost or returned', () => {
  test.each(['lost', 'returned'] as const)('is outweighed by a later receipt: %s', (kind) => {
    const gone = event(kind, '2026-10-23T15:00:00Z')
    const sample = deriveKit([cut, left, gone, event('received', '2026-10-24T15:00:00Z')])
    expect(sample.history.ending).toBeNull()
    expect(sample.history.outweighed.map(({ id }) => id)).toEqual([gone.id])
    expect(sample.settled).toBeNull()
    expect(getState(sample, 'dock to chamber')).toBe('overrun')
  })

  test.each(['rejected', 'cancelled'] as const)('is not what %s is', (kind) => {
    const ended = event(kind, '2026-10-23T15:00:00Z')
    const sample = deriveKit([cut, left, ended, event('received', '2026-10-24T15:00:00Z')])
    expect(sample.history.ending?.kind).toBe(kind)
    expect(sample.history.outweighed).toEqual([])
  })

  test('stands against a receipt at the same instant or before', () => {
    const lost = event('lost', '2026-10-24T15:00:00Z')
    const receive = (at: string) => deriveKit([cut, left, lost, event('received', at)]).history.ending?.kind
    expect(receive('2026-10-24T15:00:00.000Z')).toBe('lost')
    expect(receive('2026-10-24T15:00:00.001Z')).toBeUndefined()
  })

  test('is held by its earliest reading against the latest of the receipt', () => {
    const lost = event('lost', '2026-10-24', { zone: 'America/New_York' })
    const received = event('received', '2026-10-24T00:30:00', { zone: 'America/New_York' })
    expect(deriveKit([cut, left, lost, received]).history.ending).toBeNull()
  })

  test('stands again when the receipt is withdrawn', () => {
    const lost = event('lost', '2026-10-23T15:00:00Z')
    const received = event('received', '2026-10-24T15:00:00Z', { id: 'in' })
    const withdrawn = event('withdrawn', '2026-10-25T15:00:00Z', { corrects: 'desk/in' })
    expect(deriveKit([cut, left, lost, received, withdrawn]).history.ending?.kind).toBe('lost')
  })

  test('leaves another ending in force', () => {
    const lost = event('lost', '2026-10-23T15:00:00Z')
    const received = event('received', '2026-10-24T15:00:00Z')
    const rejected = event('rejected', '2026-10-24T16:00:00Z')
    const sample = deriveKit([cut, left, lost, received, rejected])
    expect(sample.history.ending).toMatchObject({ kind: 'rejected' })
    expect(sample.history.outweighed).toHaveLength(1)
  })
})

describe('a sample that is ruled out', () => {
  const ruled = [cut, left, found, rule('2026-10-22T09:00:00Z', 'cut again')]

  test('has ended, and so have its clocks that have not stopped', () => {
    const sample = deriveKit(ruled)
    expect(sample.settled).toBe('ended')
    expect(getState(sample, 'cut to chamber')).toBe('ended')
    expect(getState(sample, 'cut to carrier')).toBe('kept')
    expect(sample.history.ending).toBeNull()
    expect(iso(sample.endedAt)).toBe('2026-10-22T09:00:00.000Z')
  })

  test('stays so until a later ruling, and not before its ruling’s time has come', () => {
    expect(deriveKit([...ruled, rule('2026-10-23T09:00:00Z', 'use')]).settled).toBeNull()
    expect(deriveKit([...ruled, rule('2026-10-21T09:30:00Z', 'use')]).settled).toBe('ended')
    expect(deriveKit([cut, left, found, rule('2026-11-22T09:00:00Z', 'cut again')]).settled).toBeNull()
  })

  test('is lapsed all the same if a clock stopped too late', () => {
    const late = event('dispatched', '2026-10-21T10:00:00.001Z')
    expect(deriveKit([cut, late, found, rule('2026-10-22T09:00:00Z', 'cut again')]).settled).toBe('lapsed')
  })
})

test('endings, receipts and rulings give the same in any order', () => {
  const events = [
    cut,
    left,
    found,
    event('lost', '2026-10-23T15:00:00Z'),
    event('returned', '2026-10-25T15:00:00Z'),
    event('received', '2026-10-24T15:00:00Z'),
    event('received', '2026-10-23', { zone: 'America/New_York' }),
    rule('2026-10-22T09:00:00Z', 'cut again'),
    rule('2026-10-23T09:00:00Z', 'use with a note'),
  ]
  const of = (order: typeof events) => {
    const { history, settled, endedAt } = deriveKit(order)
    return { ending: history.ending, outweighed: history.outweighed.map(({ id }) => id), settled, endedAt }
  }
  const expected = of(events)
  fc.assert(
    fc.property(fc.shuffledSubarray(events, { minLength: events.length }), (order) => {
      expect(of(order)).toEqual(expected)
    }),
  )
})
