import { describe, expect, test } from 'vitest'
import { makeIntakeBudget } from '@/lib/access/session/intakeBudget'

describe('the budget of what a principal sends', () => {
  test.each([
    ['items', { items: 500, computingMs: 1 }],
    ['computing time', { items: 1, computingMs: 30_000 }],
  ])('is used up by its %s, for the rest of a minute, and for nobody else', async (_, cost) => {
    const budget = makeIntakeBudget(1)
    expect(await budget.getWaitSeconds('key 1')).toBe(0)
    await budget.charge('key 1', { items: 1, computingMs: 1 })
    expect(await budget.getWaitSeconds('key 1')).toBe(0)
    await budget.charge('key 1', cost)
    expect(await budget.getWaitSeconds('key 1')).toBeGreaterThan(0)
    expect(await budget.getWaitSeconds('key 1')).toBeLessThanOrEqual(60)
    expect(await budget.getWaitSeconds('key 2')).toBe(0)
  })

  test('lets each principal send one bulk body at a time, and four at most send one', () => {
    const budget = makeIntakeBudget(1)
    expect(['a', 'a', 'b', 'c', 'd', 'e'].map((name) => budget.beginBulk(name))).toEqual([
      true,
      false,
      true,
      true,
      true,
      false,
    ])
    budget.endBulk('a')
    expect(budget.beginBulk('e')).toBe(true)
  })

  test('lets two bulk bodies be handled while the others wait for their turn', async () => {
    const budget = makeIntakeBudget(1)
    const begun: string[] = []
    const turns = ['a', 'b', 'c', 'd'].map((name) => {
      budget.beginBulk(name)
      return budget.awaitBulkTurn(name).then(() => begun.push(name))
    })
    await Promise.all(turns.slice(0, 2))
    expect(begun).toEqual(['a', 'b'])
    budget.endBulk('b')
    await turns[2]
    expect(begun).toEqual(['a', 'b', 'c'])
    budget.endBulk('a')
    await turns[3]
    expect(begun).toEqual(['a', 'b', 'c', 'd'])
  })
})
