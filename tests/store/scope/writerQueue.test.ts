import { expect, test } from 'vitest'
import { TooManyWriters, WriterQueue } from '@/lib/store/scope/writerQueue'

/** Work that ends when told, and notes when it begins. */
function makeWork(name: string, begun: string[]) {
  let end = () => {}
  const ended = new Promise<void>((resolve) => {
    end = resolve
  })
  const work = async () => {
    begun.push(name)
    await ended
    return name
  }
  return { work, end }
}

test('one writer works at a time, in the order in which they came, and one that fails lets the next in', async () => {
  const queue = new WriterQueue({ capacity: 5, maxWaitMs: 60_000 })
  const begun: string[] = []
  const first = makeWork('first', begun)
  const second = makeWork('second', begun)
  const all = Promise.allSettled([
    queue.run(first.work),
    queue.run(async () => {
      begun.push('broken')
      throw new Error('broken')
    }),
    queue.run(second.work),
  ])
  expect(begun).toEqual(['first'])
  expect(queue.state).toMatchObject({ isWorking: true, waiting: 2, admitted: 1, refused: 0 })
  first.end()
  second.end()
  expect((await all).map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled'])
  expect(begun).toEqual(['first', 'broken', 'second'])
  expect(queue.state).toMatchObject({ isWorking: false, waiting: 0, longestWaitMs: 0, admitted: 3 })
})

test('who finds it full, or waits too long, is turned away, and the work never begins', async () => {
  const queue = new WriterQueue({ capacity: 1, maxWaitMs: 30 })
  const begun: string[] = []
  const first = makeWork('first', begun)
  const working = queue.run(first.work)
  const late = queue.run(makeWork('late', begun).work)
  await expect(queue.run(makeWork('too many', begun).work)).rejects.toBeInstanceOf(TooManyWriters)
  expect(queue.state).toMatchObject({ waiting: 1, refused: 1 })
  await expect(late).rejects.toBeInstanceOf(TooManyWriters)
  first.end()
  await working
  expect(await queue.run(async () => 'next')).toBe('next')
  expect(begun).toEqual(['first'])
  expect(queue.state).toMatchObject({ isWorking: false, waiting: 0, admitted: 2, refused: 2 })
})

test('background work has its turn, waits without limit, and is a writer; brief work is none', async () => {
  const queue = new WriterQueue({ capacity: 0, maxWaitMs: 1 })
  const begun: string[] = []
  const first = makeWork('first', begun)
  const working = queue.run(first.work)
  const background = makeWork('background', begun)
  const behind = queue.runInBackground(background.work)
  first.end()
  await working
  expect(queue.hasWriters).toBe(true)
  expect(queue.state).toMatchObject({ isWorking: true, waiting: 0 })
  background.end()
  expect(await behind).toBe('background')
  const brief = makeWork('brief', begun)
  const last = queue.runBriefly(brief.work)
  expect(queue.hasWriters).toBe(false)
  expect(queue.state.isWorking).toBe(true)
  brief.end()
  expect(await last).toBe('brief')
})
