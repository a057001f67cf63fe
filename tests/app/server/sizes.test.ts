import { expect, test } from 'vitest'
import { formatBytes } from '@/app/server/sizes'
import { english } from '@/lib/messages/english'

test.each([
  [0, '0 kB'],
  [4_864, '4.8 kB'],
  [48_396, '47 kB'],
  [11 * 1024 ** 2, '11 MB'],
  [2.5 * 1024 ** 3, '2.5 GB'],
])('%i bytes read %s', (bytes, words) => {
  expect(formatBytes(english, bytes)).toBe(words)
})
