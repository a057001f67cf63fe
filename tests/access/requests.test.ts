import { describe, expect, test } from 'vitest'
import { getNetworkAddress } from '@/lib/access/session/actor'
import { makeRateLimits } from '@/lib/access/session/rateLimits'
import { isSameOrigin } from '@/lib/access/session/sameOrigin'

const asking = (headers: Record<string, string>, method = 'POST') => ({
  method,
  headers: new Headers(headers),
})

test('the network address of a request is the one our web server saw, not the one it claims', () => {
  const way = {
    'x-forwarded-for': '203.0.113.5',
    'x-real-ip': '203.0.113.5',
    'x-holdfast-source': '198.51.100.9',
  }
  expect(getNetworkAddress(asking(way))).toBe('198.51.100.9')
  expect(getNetworkAddress(asking({}))).toBe('unknown')
})

describe('a page of ours', () => {
  const SITE = 'https://desk.example'
  test.each([
    [{ origin: 'https://desk.example', host: 'desk.example' }, true],
    [{ origin: 'http://localhost:3000', host: 'localhost:3000' }, true],
    [{ origin: 'http://localhost:3001', host: 'localhost:3000' }, false],
    [{ origin: 'https://localhost:3000', host: 'localhost:3000' }, false],
    [{ origin: 'http://desk.example', host: 'desk.example' }, false],
    [{ origin: 'https://desk.example:8443', host: 'desk.example' }, false],
    [{ origin: 'https://desk.example', host: 'localhost:3000' }, false],
    [{ origin: 'http://localhost', host: 'localhost' }, true],
    [{ origin: 'http://[::1]:3000', host: '[::1]:3000' }, true],
    [{ origin: 'https://desk.example.evil.example', host: 'desk.example' }, false],
    [{ origin: 'null', host: 'desk.example' }, false],
    [{ origin: 'https://elsewhere.example', host: 'desk.example', 'sec-fetch-site': 'same-origin' }, false],
    [{ origin: 'https://desk.example', host: 'desk.example', 'sec-fetch-site': 'cross-site' }, false],
    [{ origin: 'https://desk.example', host: 'desk.example', 'sec-fetch-site': 'same-origin' }, true],
    [{ origin: 'ftp://desk.example', host: 'desk.example' }, false],
    [{ origin: 'https://a@desk.example', host: 'desk.example' }, false],
    [{ host: 'desk.example', 'sec-fetch-site': 'same-origin' }, true],
    [{ host: 'desk.example', 'sec-fetch-site': 'cross-site' }, false],
    [{ host: 'desk.example' }, false],
  ] as [Record<string, string>, boolean][])('%j: %s', (headers, isOurs) => {
    expect(isSameOrigin(asking(headers), SITE)).toBe(isOurs)
  })

  test.each([
    [{ host: 'desk.example', 'sec-fetch-site': 'same-origin' }, true],
    // Typed into the address bar, or opened from a bookmark.
    [{ host: 'desk.example', 'sec-fetch-site': 'none' }, true],
    [{ host: 'desk.example', referer: 'https://desk.example/audit' }, true],
    [{ host: 'desk.example', referer: 'https://desk.example/audit', 'sec-fetch-site': '' }, true],
    [{ host: 'desk.example', referer: 'http://desk.example/audit' }, false],
    [{ host: 'desk.example', referer: 'https://elsewhere.example/' }, false],
    [{ host: 'desk.example', referer: 'https://desk.example@elsewhere.example/' }, false],
    [{ host: 'desk.example', referer: 'https://desk.example/', 'sec-fetch-site': 'cross-site' }, false],
    [{ host: 'desk.example', referer: 'https://desk.example/', origin: 'null' }, false],
    [{ host: 'desk.example', 'sec-fetch-site': 'same-site' }, false],
    [{ host: 'desk.example' }, false],
  ] as [Record<string, string>, boolean][])('that reads, %j: %s', (headers, isOurs) => {
    expect(isSameOrigin(asking(headers, 'GET'), SITE)).toBe(isOurs)
  })
})

test('the limits allow a principal its requests per minute, then say how long to wait', async () => {
  const limits = makeRateLimits(3)
  expect([await limits.count('key a'), await limits.count('key a'), await limits.count('key a')]).toEqual([
    0, 0, 0,
  ])
  const wait = await limits.count('key a')
  expect(wait).toBeGreaterThan(0)
  expect(wait).toBeLessThanOrEqual(60)
  expect(await limits.count('key b')).toBe(0)
})
