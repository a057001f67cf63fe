import { setImmediate } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { TimeSlices } from '@/lib/store/scope/timeSlices'

/** Computes for `ms` in steps of a millisecond. */
function* compute(ms: number, done: string[], name: string): Generator<undefined, string> {
  for (let step = 0; step < ms; step += 1) {
    const until = performance.now() + 1
    while (performance.now() < until) {
      // Computes.
    }
    yield
  }
  done.push(name)
  return name
}

test('long computations take turns, one slice in each turn of the event loop', async () => {
  const done: string[] = []
  const slices = [new TimeSlices(), new TimeSlices(), new TimeSlices()]
  const running = slices.map((one, n) => one.run(compute(n === 0 ? 2_000 : 100, done, `work ${n}`)))
  let turns = 0
  let isOver = false
  const all = Promise.all(running).then((names) => {
    isOver = true
    return names
  })
  while (!isOver) {
    await setImmediate()
    turns += 1
  }
  expect(await all).toEqual(['work 0', 'work 1', 'work 2'])
  // The short ones did not wait for the long one, and others had their turn after each slice.
  expect(done.at(-1)).toBe('work 0')
  expect(turns).toBeGreaterThan(20)
  expect(slices[0]?.spentMs).toBeGreaterThanOrEqual(2_000)
})

test('what a computation yields is collected without its pauses, and its error is thrown', async () => {
  expect(await new TimeSlices().collect([1, null, 2])).toEqual([1, 2])
  const failing = (function* (): Generator<undefined> {
    yield
    throw new Error('a fault')
  })()
  await expect(new TimeSlices().run(failing)).rejects.toThrow('a fault')
})
