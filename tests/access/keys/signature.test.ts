import { createHash, createHmac } from 'node:crypto'
import { httpbis } from 'http-message-signatures'
import { describe, expect, test } from 'vitest'
import { SIGNED_COMPONENTS, type SignedMessage, verifySignature } from '@/lib/access/keys/signature'
import { MAX_CLOCK_SKEW_MS } from '@/lib/store/people/usedSignatures'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const HMAC_KEY = Buffer.alloc(32, 7)
const findKey = async (id: string) => (id === 'mine' ? { key: id, hmacKey: HMAC_KEY } : null)

const BODY = '{"source":"desk"}'
const DIGEST = `sha-256=:${createHash('sha256').update(BODY).digest('base64')}:`
const MESSAGE: SignedMessage = {
  method: 'POST',
  url: 'https://desk.example/api/events',
  headers: { 'content-digest': DIGEST, 'content-type': 'application/json' },
}

/** Signs with the library that any sender may use. */
async function signed({
  message = MESSAGE,
  fields = [...SIGNED_COMPONENTS] as string[],
  createdAt = NOW,
  hmacKey = HMAC_KEY,
  keyid = 'mine',
  params = ['created', 'keyid', 'alg'],
  alg = 'hmac-sha256',
  expiresAt = NOW + 60_000,
} = {}): Promise<SignedMessage> {
  return (await httpbis.signMessage(
    {
      fields,
      params,
      paramValues: { created: new Date(createdAt), keyid, alg, expires: new Date(expiresAt) },
      key: { sign: async (base: Buffer) => createHmac('sha256', hmacKey).update(base).digest() },
    },
    message,
  )) as SignedMessage
}

describe("the standard's own example", () => {
  // RFC 9421, appendix B.2.5 (hmac-sha256 over a selective set of components), the shared secret of B.1.5 and the
  // request of B.2.
  const secret = Buffer.from(
    'uzvJfB4u3N0Jy4T7NZ75MDVcr8zSTInedJtkgcu46YW4XByzNJjxBdtjUkdJPBtbmHhIDi6pcl8jsasjlTMtDQ==',
    'base64',
  )
  const request = {
    method: 'POST',
    url: 'https://example.com/foo?param=Value&Pet=dog',
    headers: {
      Host: 'example.com',
      Date: 'Tue, 20 Apr 2021 02:07:55 GMT',
      'Content-Type': 'application/json',
      'Content-Digest':
        'sha-512=:WZDPaVn/7XgHaAy8pmojAkGWoRx2UFChF41A2svX+TaPm+AbwAgBWnrIiYllu7BNNyealdVLvRwEmTHWXvJwew==:',
      'Content-Length': '18',
      'Signature-Input':
        'sig-b25=("date" "@authority" "content-type");created=1618884473;keyid="test-shared-secret"',
      Signature: 'sig-b25=:pxcQw6G3AjtMBQjwo8XzkZf/bws5LelbaMk5rGIGtE8=:',
    },
  }
  const components = ['date', '@authority', 'content-type']
  const lookup = async (id: string) => (id === 'test-shared-secret' ? { key: id, hmacKey: secret } : null)
  const createdAt = 1_618_884_473_000

  test('is valid at its own time', async () => {
    const held = await verifySignature(request, lookup, createdAt, components)
    expect(held?.key).toBe('test-shared-secret')
  })

  test('is invalid with another signed header or another secret', async () => {
    const changed = { ...request, headers: { ...request.headers, 'Content-Type': 'text/csv' } }
    expect(await verifySignature(changed, lookup, createdAt, components)).toBeNull()
    const other = async () => ({ key: 'x', hmacKey: Buffer.alloc(64) })
    expect(await verifySignature(request, other, createdAt, components)).toBeNull()
  })

  test('is refused, since neither method nor body is signed', async () => {
    expect(await verifySignature(request, lookup, createdAt)).toBeNull()
  })
})

describe('a signature', () => {
  const heldAt = async (message: SignedMessage, now = NOW) =>
    (await verifySignature(message, findKey, now)) !== null

  test('is valid with and without the name of its algorithm, and with additional signed components', async () => {
    expect(await heldAt(await signed())).toBe(true)
    expect(await heldAt(await signed({ params: ['created', 'keyid'] }))).toBe(true)
    expect(await heldAt(await signed({ fields: [...SIGNED_COMPONENTS, 'content-type', '@authority'] }))).toBe(
      true,
    )
  })

  test.each([
    ['method', { ...MESSAGE, method: 'PUT' }],
    ['path', { ...MESSAGE, url: 'https://desk.example/api/register' }],
    [
      'digest of the body',
      { ...MESSAGE, headers: { ...MESSAGE.headers, 'content-digest': 'sha-256=:AAAA:' } },
    ],
  ])('does not hold for another %s', async (_what, other) => {
    const { headers } = await signed()
    const { signature, 'signature-input': input, Signature, 'Signature-Input': Input } = headers
    const moved = { ...other.headers, signature: (signature ?? Signature) as string }
    expect(
      await heldAt({ ...other, headers: { ...moved, 'signature-input': (input ?? Input) as string } }),
    ).toBe(false)
  })

  test('is valid for five minutes either way, and not a second longer', async () => {
    const message = await signed()
    for (const offset of [-MAX_CLOCK_SKEW_MS, MAX_CLOCK_SKEW_MS])
      expect(await heldAt(message, NOW + offset)).toBe(true)
    for (const offset of [-MAX_CLOCK_SKEW_MS - 1_000, MAX_CLOCK_SKEW_MS + 1_000])
      expect(await heldAt(message, NOW + offset)).toBe(false)
  })

  test('is invalid after its own expiry', async () => {
    const message = await signed({
      params: ['created', 'keyid', 'expires'],
      expiresAt: Date.now() + 3_600_000,
    })
    expect(await heldAt(message)).toBe(true)
    const spent = await signed({ params: ['created', 'keyid', 'expires'], expiresAt: NOW + 60_000 })
    expect(await heldAt(spent, NOW + 61_000)).toBe(false)
  })

  test.each([
    ['another key', { hmacKey: Buffer.alloc(32, 8) }],
    ['an unknown key id', { keyid: 'theirs' }],
    ['no time', { params: ['keyid'] }],
    ['no key id', { params: ['created'] }],
    ['another algorithm', { alg: 'ed25519' }],
    ['the body left out', { fields: ['@method', '@path'] }],
    ['the method left out', { fields: ['@path', 'content-digest'] }],
    ['a part of the digest only', { fields: ['@method', '@path', '"content-digest";key="sha-256"'] }],
  ])('does not hold with %s', async (_what, options) => {
    expect(await heldAt(await signed(options))).toBe(false)
  })

  test('is invalid if missing or malformed', async () => {
    expect(await heldAt(MESSAGE)).toBe(false)
    for (const input of ['', 'sig', 'sig=()', 'sig=("@method" "@path" "content-digest")', '\u0000'])
      expect(
        await heldAt({
          ...MESSAGE,
          headers: { ...MESSAGE.headers, 'signature-input': input, signature: 'sig=:AA==:' },
        }),
      ).toBe(false)
  })

  test('has the same digest under another label, so it can be used only once', async () => {
    const message = await signed()
    const renamed = Object.fromEntries(
      Object.entries(message.headers).map(([name, value]) => [
        name,
        name.toLowerCase().startsWith('signature') ? value.replace(/^sig=/, 'again=') : value,
      ]),
    )
    const [first, second] = await Promise.all(
      [message, { ...message, headers: renamed }].map((one) => verifySignature(one, findKey, NOW)),
    )
    expect(first?.digest).toHaveLength(32)
    expect(second?.digest).toEqual(first?.digest)
  })
})

test.each([0, 1])(
  'a signature of someone else in place %d, as a proxy adds, does not harm ours',
  async (place) => {
    const { headers } = await signed()
    const foreign = [`proxy=("@authority");created=${NOW / 1000};keyid="proxy";alg="ed25519"`, 'proxy=:AAAA:']
    const both = Object.entries(headers).map(([name, value]) => {
      const at = ['signature-input', 'signature'].indexOf(name.toLowerCase())
      if (at < 0) return [name, value]
      return [name, (place === 0 ? [foreign[at], value] : [value, foreign[at]]).join(', ')]
    })
    const held = await verifySignature({ ...MESSAGE, headers: Object.fromEntries(both) }, findKey, NOW)
    expect(held?.key).toBe('mine')
  },
)

test('of many signatures only a few are looked up, so that a header cannot ask for hundreds of queries', async () => {
  const one = (name: number) => `s${name}=("@method");created=${NOW / 1000};keyid="unknown"`
  const names = Array.from({ length: 100 }, (_, index) => index)
  const looked: string[] = []
  const message = {
    ...MESSAGE,
    headers: {
      ...MESSAGE.headers,
      'signature-input': names.map(one).join(', '),
      signature: names.map((name) => `s${name}=:AAAA:`).join(', '),
    },
  }
  const held = await verifySignature(
    message,
    async (id) => {
      looked.push(id)
      return null
    },
    NOW,
  )
  expect(held).toBeNull()
  expect(looked).toHaveLength(4)
})
