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

  test('lets four bodies of a principal be handled while its others wait, and those of another go on', async () => {
    const budget = makeIntakeBudget(1)
    const begun: string[] = []
    const take = (name: string) => budget.awaitTurn(name).then(() => begun.push(name))
    const turns = Array.from({ length: 6 }, () => take('a'))
    await Promise.all([...turns.slice(0, 4), take('b')])
    expect(begun.sort()).toEqual(['a', 'a', 'a', 'a', 'b'])
    for (const turn of turns.slice(4)) {
      budget.endTurn('a')
      await turn
    }
    expect(begun).toHaveLength(7)
    for (let count = 0; count < 4; count++) budget.endTurn('a')
    await Promise.all(Array.from({ length: 4 }, () => take('a')))
  })

  test('lets one bulk body be handled while the others wait for their turn', async () => {
    const budget = makeIntakeBudget(1)
    const begun: string[] = []
    const turns = ['a', 'b', 'c'].map((name) => {
      budget.beginBulk(name)
      return budget.awaitBulkTurn(name).then(() => begun.push(name))
    })
    await turns[0]
    expect(begun).toEqual(['a'])
    budget.endBulk('a')
    await turns[1]
    expect(begun).toEqual(['a', 'b'])
    budget.endBulk('b')
    await turns[2]
    expect(begun).toEqual(['a', 'b', 'c'])
  })
})
