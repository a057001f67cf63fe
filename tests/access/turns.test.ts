import { expect, test } from 'vitest'
import { TooManyWaiting, Turns } from '@/lib/access/session/turns'

test('a few of a name work at a time, the others in their order, and those of another name go on', async () => {
  const turns = new Turns({ atOnce: 2, maxWaiting: 10, maxWaitMs: 60_000 })
  const begun: string[] = []
  const take = async (name: string, label: string) => {
    const end = await turns.take(name)
    begun.push(label)
    return end
  }
  const first = await take('a', 'first')
  const second = await take('a', 'second')
  const [third, fourth] = [take('a', 'third'), take('a', 'fourth')]
  const other = await take('b', 'other')
  expect(begun).toEqual(['first', 'second', 'other'])
  second()
  // A turn that is ended twice lets one in and not two.
  second()
  const endThird = await third
  expect(begun).toEqual(['first', 'second', 'other', 'third'])
  for (const end of [first, endThird, other]) end()
  ;(await fourth)()
  expect(begun.at(-1)).toBe('fourth')
  expect(await turns.take('a')).toBeTypeOf('function')
})

test('who finds too many waiting, or waits too long, is turned away, and takes no turn later', async () => {
  const turns = new Turns({ atOnce: 1, maxWaiting: 1, maxWaitMs: 30 })
  const end = await turns.take('a')
  const late = turns.take('a')
  await expect(turns.take('a')).rejects.toBeInstanceOf(TooManyWaiting)
  await expect(late).rejects.toBeInstanceOf(TooManyWaiting)
  end()
  const next = await turns.take('a')
  await expect(turns.take('a')).rejects.toBeInstanceOf(TooManyWaiting)
  next()
})
