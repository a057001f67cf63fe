import { describe, expect, test } from 'vitest'
import type { Kit } from '@/lib/custody/register'
import { type EventInput, kit } from '../schedule/programme'
import { found, judged, LONG, ONE, ruled, TWO } from './judged'
import { CUT, SAFE } from './overdueCases'

describe('an unfit sample', () => {
  // Ten calendar days from 30 October are over in New York with 9 November; three working days from 3 November with 6.
  const LAPSED: EventInput[] = [...SAFE, ['received', '2026-11-03T15:00:00Z']]
  const NOW = '2026-11-08T12:00:00Z'

  test('asks for its replacement and for nothing else', () => {
    const { fitness, standing, restraint, acts } = judged(NOW, [[ONE, LAPSED]])
    expect({ fitness, standing, restraint }).toEqual({
      fitness: 'unfit',
      standing: 'lapsed',
      restraint: 'do not load',
    })
    expect(acts).toEqual(['programme: replace it', 'plant: cut its replacement'])
  })

  test('is not to be sent if it lapsed before its hand-over', () => {
    const { restraint, acts } = judged('2026-11-12T12:00:00Z', [[ONE, [CUT]]])
    expect(restraint).toBe('do not send')
    expect(acts).toEqual(['programme: replace it', 'plant: cut its replacement'])
  })

  test.each(['retained', 'duplicate'] as const)(
    'asks for nothing where its purpose is not owed: %s',
    (purpose) => {
      const { fitness, acts } = judged(NOW, [[kit('AAAA222', { purpose }), LAPSED]])
      expect(fitness).toBe('unfit')
      expect(acts).toEqual([])
    },
  )

  test('asks for nothing once a kit replaces it', () => {
    const again = kit('BBBB333', { purpose: 're-collection', replaces: ONE.code })
    expect(
      judged(NOW, [
        [ONE, LAPSED],
        [again, []],
      ]).acts,
    ).toEqual([])
  })

  test('names a spare kit at its plant, and none that is not posted or used', () => {
    const spare = kit('CCCC444', { product: null })
    const used = kit('DDDD555', { product: null })
    const unposted = kit('EEEE666', { product: null, posted: 'not yet' })
    const spareOf = (...others: (readonly [Kit, readonly EventInput[]])[]) =>
      judged(NOW, [[ONE, LAPSED], ...others]).whole[0]?.spare
    expect(spareOf([spare, []])).toBe(spare.code)
    expect(spareOf([used, [['collected', '2026-11-07T12:00:00Z', { product: 'TILE' }]]])).toBeNull()
    expect(spareOf([unposted, []])).toBeNull()
  })

  test('in the chamber also asks the laboratory to stop or go on', () => {
    const late: EventInput[] = [...LAPSED, ['loaded', '2026-11-12T15:00:00Z']]
    const { restraint, acts } = judged('2026-11-13T12:00:00Z', [[ONE, late]])
    expect(restraint).toBeNull()
    expect(acts).toEqual(['programme: replace it', 'laboratory: stop or go on', 'plant: cut its replacement'])
  })

  test('is one that was ruled out: nobody is asked to load it', () => {
    const { fitness, standing, acts } = judged('2026-11-03T16:00:00Z', [
      [
        ONE,
        [
          ...SAFE,
          ['received', '2026-11-02T15:00:00Z'],
          found('2026-11-02T16:00:00Z'),
          ruled('2026-11-03T15:00:00Z', 'cut again'),
        ],
      ],
    ])
    expect({ fitness, standing }).toEqual({ fitness: 'unfit', standing: 'ended' })
    expect(acts).toEqual(['programme: replace it', 'plant: cut its replacement'])
  })
})

describe('a replacement that an event names', () => {
  const LAPSED: EventInput[] = [CUT, ['replaced by', '2026-11-12T13:00:00Z', { facts: { kit: TWO.code } }]]

  test('is owed on its own clocks even if it is a retained sample', () => {
    const retained = kit('BBBB333', { purpose: 'retained' })
    const cut: EventInput = ['collected', '2026-11-12T10:00:00Z']
    expect(
      judged(
        '2026-11-16T23:59:00Z',
        [
          [retained, [cut]],
          [ONE, LAPSED],
        ],
        { register: LONG },
      ).acts,
    ).toEqual(['plant: hand it over'])
    expect(judged('2026-11-16T23:59:00Z', [[retained, [cut]]], { register: LONG }).acts).toEqual([])
  })

  test('does not stand for a sample of another plant', () => {
    const other = kit('BBBB333', { purpose: 'retained', plant: 'FELT', product: null })
    expect(
      judged('2026-11-13T12:00:00Z', [
        [other, []],
        [ONE, LAPSED],
      ]).acts,
    ).toEqual([])
  })
})
