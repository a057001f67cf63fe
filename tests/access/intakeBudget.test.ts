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

  test('lets one bulk body be handled while the others wait for their turn, and one that fails lets the next', async () => {
    const budget = makeIntakeBudget(1)
    const begun: string[] = []
    const ends: (() => void)[] = []
    const handled = ['a', 'b', 'c'].map((name) =>
      budget.handleBulk(async () => {
        begun.push(name)
        await new Promise<void>((end) => ends.push(end))
        if (name === 'a') throw new Error(name)
      }),
    )
    const all = Promise.allSettled(handled)
    for (const [at, name] of ['a', 'b', 'c'].entries()) {
      await expect.poll(() => begun.at(-1)).toBe(name)
      expect(begun).toHaveLength(at + 1)
      ends.shift()?.()
    }
    expect((await all).map(({ status }) => status)).toEqual(['rejected', 'fulfilled', 'fulfilled'])
  })
})
