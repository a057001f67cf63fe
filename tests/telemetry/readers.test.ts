import { EventEmitter } from 'node:events'
import { expect, test } from 'vitest'
import { letReadersGoFirst, noteReader } from '@/lib/telemetry/readers'

const LATER = 60_000

test('long work waits until the last reader is served', async () => {
  const order: string[] = []
  const readers = ['first', 'second'].map((name) => ({ name, response: new EventEmitter() }))
  for (const { response } of readers) noteReader(response)
  const work = letReadersGoFirst(performance.now() + LATER).then(() => order.push('work'))
  for (const { name, response } of readers) {
    await new Promise((resolve) => setImmediate(resolve))
    order.push(name)
    response.emit('close')
  }
  await work
  expect(order).toEqual(['first', 'second', 'work'])
})

test('long work goes on at its deadline, and for a reader that reads slowly', async () => {
  const response = new EventEmitter()
  noteReader(response)
  const begunAt = performance.now()
  await letReadersGoFirst(begunAt)
  await letReadersGoFirst(begunAt + LATER)
  expect(performance.now() - begunAt).toBeLessThan(LATER)
  response.emit('close')
})
