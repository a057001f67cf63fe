import { describe, expect, test } from 'vitest'
import {
  code,
  consignmentEvent,
  deriveKit,
  event,
  KIT,
  listFlags,
  listUnplaced,
  readMilestone,
  SECOND,
} from './desk'

const first = event('collected', '2026-10-20T10:00:00Z', { id: 'first' })
const withdrawn = (corrects: string, more: Record<string, unknown> = {}) =>
  event('withdrawn', '2026-10-21T10:00:00Z', { corrects, ...more })

describe('a corrected event', () => {
  const second = event('collected', '2026-10-20T12:00:00Z', { id: 'second', corrects: 'desk/first' })

  test('is out of the count, and its corrector counts', () => {
    expect(readMilestone(deriveKit([first]), 'collected')).toBe('2026-10-20T10:00:00.000Z')
    expect(readMilestone(deriveKit([first, second]), 'collected')).toBe('2026-10-20T12:00:00.000Z')
  })

  test('stays visible, with its corrector', () => {
    const placed = deriveKit([first, second]).events.map(({ event: { id }, correctedBy }) => [
      id,
      correctedBy,
    ])
    expect(placed).toEqual([
      ['first', ['desk/second']],
      ['second', []],
    ])
  })

  test('stays out when its corrector is corrected', () => {
    const third = event('collected', '2026-10-20T14:00:00Z', { id: 'third', corrects: 'desk/second' })
    expect(readMilestone(deriveKit([first, second, third]), 'collected')).toBe('2026-10-20T14:00:00.000Z')
  })

  test('stays out when its corrector is withdrawn', () => {
    expect(readMilestone(deriveKit([first, second, withdrawn('desk/second')]), 'collected')).toBeNull()
  })

  test('counts again only when it is reported again', () => {
    const anew = event('collected', '2026-10-20T10:00:00Z', { id: 'anew' })
    expect(readMilestone(deriveKit([first, withdrawn('desk/first'), anew]), 'collected')).toBe(
      '2026-10-20T10:00:00.000Z',
    )
  })

  test('is out at once, even if its corrector is dated in the future', () => {
    const ahead = event('collected', '2026-11-20T10:00:00Z', { corrects: 'desk/first' })
    expect(readMilestone(deriveKit([first, ahead]), 'collected')).toBeNull()
    expect(
      readMilestone(deriveKit([first, ahead], { now: Date.parse('2026-11-20T10:00:00Z') }), 'collected'),
    ).toBe('2026-11-20T10:00:00.000Z')
  })

  test('may be of another kind than its corrector', () => {
    const sealed = event('sealed', '2026-10-20T12:00:00Z', { corrects: 'desk/first' })
    const sample = deriveKit([first, sealed])
    expect([...sample.history.milestones.keys()]).toEqual(['sealed'])
  })

  test('may be of another sample, if the kit code was wrong', () => {
    const onOther = event('collected', '2026-10-20T10:00:00Z', {
      id: 'right',
      sample: SECOND,
      corrects: 'desk/first',
    })
    expect(readMilestone(deriveKit([first, onOther]), 'collected')).toBeNull()
    expect(readMilestone(deriveKit([first, onOther], { of: SECOND }), 'collected')).toBe(
      '2026-10-20T10:00:00.000Z',
    )
  })

  test('is out even if its corrector names an unknown kit', () => {
    const unknown = withdrawn('desk/first', { sample: code('ZZZZ999') })
    expect(readMilestone(deriveKit([first, unknown]), 'collected')).toBeNull()
    expect(listUnplaced([first, unknown])).toEqual([unknown.id])
  })

  test('is out even if its corrector came first', () => {
    expect(readMilestone(deriveKit([second, first]), 'collected')).toBe('2026-10-20T12:00:00.000Z')
    expect(readMilestone(deriveKit([second]), 'collected')).toBe('2026-10-20T12:00:00.000Z')
  })

  test('is named by source and id: the same id of another source is another event', () => {
    const lab = event('collected', '2026-10-20T09:00:00Z', { source: 'lab', id: 'first' })
    expect(readMilestone(deriveKit([first, lab, withdrawn('lab/first')]), 'collected')).toBe(
      '2026-10-20T10:00:00.000Z',
    )
  })

  test('may have slashes in its id: the key is split at the first one', () => {
    const slashed = event('collected', '2026-10-20T09:00:00Z', { id: 'a/b/c' })
    expect(readMilestone(deriveKit([slashed, withdrawn('desk/a/b/c')]), 'collected')).toBeNull()
  })

  test('is no longer unplaced', () => {
    const stray = event('collected', '2026-10-20T09:00:00Z', { id: 'stray', sample: code('ZZZZ999') })
    expect(listUnplaced([stray])).toEqual(['stray'])
    expect(listUnplaced([stray, withdrawn('desk/stray')])).toEqual([])
  })
})

describe('an event of a consignment', () => {
  const travelling = [KIT, SECOND].map((sample) =>
    event('dispatched', '2026-10-20T15:00:00Z', {
      id: `left ${sample}`,
      sample,
      service: 'air',
      waybill: 'W1',
    }),
  )
  const received = consignmentEvent('received', '2026-10-22T15:00:00Z', { id: 'in' })
  const both = (...more: ReturnType<typeof event>[]) =>
    [KIT, SECOND].map((of) =>
      readMilestone(deriveKit([...travelling, received, ...more], { of }), 'received'),
    )

  test('is out for one sample only if its corrector names that sample', () => {
    const correction = event('received', '2026-10-23T15:00:00Z', { corrects: 'desk/in' })
    expect(both()).toEqual(['2026-10-22T15:00:00.000Z', '2026-10-22T15:00:00.000Z'])
    expect(both(correction)).toEqual(['2026-10-23T15:00:00.000Z', '2026-10-22T15:00:00.000Z'])
    expect(both(withdrawn('desk/in', { sample: SECOND }))).toEqual(['2026-10-22T15:00:00.000Z', null])
  })

  test('is out for all samples if its corrector is of a consignment', () => {
    expect(both(consignmentEvent('received', '2026-10-24T15:00:00Z', { corrects: 'desk/in' }))).toEqual([
      '2026-10-24T15:00:00.000Z',
      '2026-10-24T15:00:00.000Z',
    ])
    expect(both(consignmentEvent('withdrawn', '2026-10-24T15:00:00Z', { corrects: 'desk/in' }))).toEqual([
      null,
      null,
    ])
  })

  test('can correct an event of a sample', () => {
    const own = event('received', '2026-10-21T15:00:00Z', { id: 'own' })
    const correction = consignmentEvent('received', '2026-10-24T15:00:00Z', {
      id: 'later',
      corrects: 'desk/own',
    })
    expect(both(own)[0]).toBe('2026-10-21T15:00:00.000Z')
    expect(both(own, correction)[0]).toBe('2026-10-22T15:00:00.000Z')
  })
})

describe('events that correct each other in a loop', () => {
  const link = (id: string, corrects: string, hour: string) =>
    event('collected', `2026-10-20T${hour}:00:00Z`, { id, corrects: `desk/${corrects}` })
  const looping = (sample: ReturnType<typeof deriveKit>) =>
    sample.events.filter(({ isLooping }) => isLooping).map(({ event: { id } }) => id)

  test('count as if they corrected nothing, and are flagged', () => {
    const sample = deriveKit([link('a', 'b', '10'), link('b', 'a', '11')])
    expect(readMilestone(sample, 'collected')).toBe('2026-10-20T10:00:00.000Z')
    expect(sample.history.milestones.get('collected')?.events).toHaveLength(2)
    expect(listFlags(sample).filter((kind) => kind === 'loop of corrections')).toHaveLength(2)
  })

  test('may be a single one that corrects itself', () => {
    const sample = deriveKit([link('a', 'a', '10')])
    expect(readMilestone(sample, 'collected')).toBe('2026-10-20T10:00:00.000Z')
    expect(looping(sample)).toEqual(['a'])
  })

  test('can be corrected by one outside of the loop', () => {
    // tip -> tail -> a -> b -> c -> a: tail and a are out, b and c stay.
    const loop = [link('a', 'b', '10'), link('b', 'c', '11'), link('c', 'a', '12')]
    const tail = [link('tail', 'a', '08'), link('tip', 'tail', '13')]
    const sample = deriveKit([...loop, ...tail])
    expect(looping(sample).sort()).toEqual(['a', 'b', 'c'])
    expect(sample.history.milestones.get('collected')?.events.map(({ id }) => id)).toEqual(['b', 'c', 'tip'])
  })

  test('do not affect corrections of other events', () => {
    const sample = deriveKit([link('a', 'b', '10'), link('b', 'a', '11'), first, withdrawn('desk/first')])
    expect(sample.history.milestones.get('collected')?.events.map(({ id }) => id)).toEqual(['a', 'b'])
  })
})
