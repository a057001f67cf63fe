import { expect, test } from 'vitest'

interface Module {
  dropPort(named: string): string
  toClient(address: string): string
}
const { dropPort, toClient }: Module = await import(
  new URL('../../lib/commands/clientNetwork.mjs', import.meta.url).href
)

test.each([
  ['198.51.100.9', '198.51.100.9'],
  ['2001:db8:1:2::1', '2001:db8:1:2::/64'],
  ['2001:DB8:0001:2:ffff:ffff:ffff:ffff', '2001:db8:1:2::/64'],
  ['2001:db8:1:3::1', '2001:db8:1:3::/64'],
  ['2001:db8::', '2001:db8:0:0::/64'],
  ['::1', '0:0:0:0::/64'],
  ['fe80::1%eth0', 'fe80:0:0:0::/64'],
  ['::ffff:198.51.100.9', '198.51.100.9'],
  ['::FFFF:c633:6409', '198.51.100.9'],
  ['::ffff:0:198.51.100.9', '0:0:0:0::/64'],
  ['no address', 'no address'],
  ['', ''],
])('limits count %s as %s', (address, client) => {
  expect(toClient(address)).toBe(client)
})

test.each([
  ['198.51.100.9', '198.51.100.9'],
  ['198.51.100.9:4711', '198.51.100.9'],
  ['[2001:db8::1]:4711', '2001:db8::1'],
  ['[2001:db8::1]', '2001:db8::1'],
  ['2001:db8::1', '2001:db8::1'],
  ['2001:db8::4711', '2001:db8::4711'],
  ['::ffff:198.51.100.9', '::ffff:198.51.100.9'],
  ['unknown', 'unknown'],
  ['', ''],
])('of %s the address is %s', (named, address) => {
  expect(dropPort(named)).toBe(address)
})
