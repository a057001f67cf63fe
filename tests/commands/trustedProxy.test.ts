import { expect, test } from 'vitest'

interface Module {
  createProxyCheck(siteHost: string | null, list?: string): (address: string) => boolean
}
const { createProxyCheck }: Module = await import(
  new URL('../../lib/commands/trustedProxy.mjs', import.meta.url).href
)

test('a site without a URL of its own has no proxy', () => {
  expect(createProxyCheck(null, '192.0.2.7')('192.0.2.7')).toBe(false)
  expect(createProxyCheck(null, undefined)('127.0.0.1')).toBe(false)
})

test.each([
  [undefined, ['127.0.0.1', '127.1.2.3', '::1', '::ffff:127.0.0.1'], ['192.0.2.7', '128.0.0.1', '::2', '']],
  ['', ['127.0.0.1'], ['192.0.2.7']],
  ['192.0.2.7', ['192.0.2.7', '::ffff:192.0.2.7'], ['127.0.0.1', '192.0.2.8', '::1']],
  [
    '192.0.2.0/24, 2001:db8::/32',
    ['192.0.2.255', '2001:db8:1::9'],
    ['192.0.3.0', '2001:db9::1', '127.0.0.1'],
  ],
])('HOLDFAST_PROXY %j trusts %j and not %j', (list, trusted, others) => {
  const isOurProxy = createProxyCheck('holdfast.example', list)
  expect(trusted.filter((address) => !isOurProxy(address))).toEqual([])
  expect(others.filter((address) => isOurProxy(address))).toEqual([])
})
