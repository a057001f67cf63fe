import { expect, test } from 'vitest'
import { SOURCE_HEADER } from '@/lib/access/session/actor'
import { mayUseDemoRoles } from '@/lib/access/session/demoAccess'

test.each<[boolean, string, Record<string, string>]>([
  [true, '127.0.0.1', {}],
  [true, '::1', {}],
  [true, '127.0.0.1', { 'x-forwarded-for': '127.0.0.1' }],
  [true, '127.0.0.1', { 'x-forwarded-for': '::ffff:127.0.0.1' }],
  [false, '198.51.100.9', {}],
  [false, '127.0.0.1', { 'x-forwarded-for': '198.51.100.9, 127.0.0.1' }],
  [false, '127.0.0.1', { 'x-forwarded-for': 'unknown' }],
  [false, '127.0.0.1', { forwarded: 'for=198.51.100.9' }],
  [false, '127.0.0.1', { forwarded: 'for=127.0.0.1' }],
  [false, '127.0.0.1', { via: '1.1 proxy' }],
  [false, '127.0.0.1', { 'x-real-ip': '198.51.100.9' }],
])('the buttons of the demo work: %s, from %s with %j', (isOpen, source, sent) => {
  const headers = new Headers({ [SOURCE_HEADER]: source, ...sent })
  expect(mayUseDemoRoles({ headers })).toBe(isOpen)
})
