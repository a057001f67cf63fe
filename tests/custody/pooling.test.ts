import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { getMaker, MIN_MAKERS, poolOverMakers } from '@/lib/custody/pooling'

const of = (...counts: number[]) => counts.map((count, index) => ({ maker: `m${index}`, count }))

describe('a figure is published only if three makers stand behind it', () => {
  test('with three behind each, all are published', () => {
    const group = poolOverMakers([
      { name: 'kept', makers: of(4, 5, 6) },
      { name: 'lapsed', makers: of(1, 1, 1) },
    ])
    expect(group).toEqual({
      figures: [
        { name: 'kept', count: 15 },
        { name: 'lapsed', count: 3 },
      ],
      total: 18,
    })
  })

  test('with two in the whole group, nothing is published, not even a zero', () => {
    const { figures, total } = poolOverMakers([
      { name: 'kept', makers: of(4, 5) },
      { name: 'lapsed', makers: [] },
    ])
    expect(figures.map(({ count }) => count)).toEqual([null, null])
    expect(total).toBeNull()
  })

  test('a zero is published if three stand behind the group', () => {
    const { figures } = poolOverMakers([
      { name: 'kept', makers: of(4, 5, 6) },
      { name: 'lapsed', makers: [] },
    ])
    expect(figures[1]?.count).toBe(0)
  })

  test('if one is withheld, so are the smallest of the others and the total', () => {
    const { figures, total } = poolOverMakers([
      { name: 'kept', makers: of(4, 5, 6) },
      { name: 'ended', makers: of(1, 1, 1) },
      { name: 'lapsed', makers: of(0, 2) },
    ])
    expect(figures.map(({ count }) => count)).toEqual([15, null, null])
    expect(total).toBeNull()
  })

  test('a maker counts once however many plants it has', () => {
    const makers = ['one', 'one', 'two'].map((maker) => ({ maker, count: 5 }))
    expect(poolOverMakers([{ name: 'kept', makers }]).figures[0]?.count).toBeNull()
  })

  test('for any counts: never one or two makers, never a single gap, never a total beside a gap', () => {
    const counts = fc.array(fc.array(fc.nat(5), { minLength: 5, maxLength: 5 }), {
      minLength: 1,
      maxLength: 5,
    })
    fc.assert(
      fc.property(counts, (rows) => {
        const { figures, total } = poolOverMakers(
          rows.map((row, index) => ({ name: String(index), makers: of(...row) })),
        )
        figures.forEach(({ count }, index) => {
          const behind = (rows[index] as number[]).filter((one) => one > 0).length
          if (count !== null) expect(behind === 0 || behind >= MIN_MAKERS).toBe(true)
        })
        const gaps = figures.filter(({ count }) => count === null).length
        if (gaps > 0) expect(total).toBeNull()
        if (gaps === 1) expect(figures.filter(({ count }) => (count ?? 0) > 0)).toEqual([])
      }),
    )
  })
})

test('plants without a maker count as one, and spelling does not matter', () => {
  expect(getMaker({ maker: ' Felt Works ' })).toBe(getMaker({ maker: 'felt works' }))
  expect(getMaker({})).toBe(getMaker(undefined))
})
