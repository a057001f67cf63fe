import fc from 'fast-check'
import { expect, inject, test } from 'vitest'
import { atEndOfFile, endFile } from './endOfFile'

test('what a file began is ended last first, all of it though an end fails, and once', async () => {
  const ended: string[] = []
  atEndOfFile(() => ended.push('first'))
  atEndOfFile(() => {
    throw new Error('the second does not end')
  })
  atEndOfFile(async () => ended.push('third'))
  await expect(endFile()).rejects.toThrow('the second does not end')
  expect(ended).toEqual(['third', 'first'])
  await endFile()
  expect(ended).toHaveLength(2)
})

test('properties begin from the seed of the run', () => {
  expect(fc.readConfigureGlobal().seed).toBe(inject('seed'))
})
