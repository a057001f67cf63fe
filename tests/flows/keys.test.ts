import { createHash, createHmac } from 'node:crypto'
import { httpbis } from 'http-message-signatures'
import { beforeAll, describe, expect, test } from 'vitest'
import type { KeyRights } from '@/lib/policy/keyRights'
import { listKeys, revokeKey } from '@/lib/store/people/keys'
import { COMMAND } from '@/lib/store/scope/audit'
import { makeTestKey } from '@/tests/setup/apiKey'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { createReport, type KeyProgramme, startKeyProgramme } from './keyProgramme'

let programme: KeyProgramme
beforeAll(async () => {
  programme = await startKeyProgramme()
})

describe('a request with a key', () => {
  test('gets the same response whether the key is unknown, expired, revoked or has to sign', async () => {
    const expired = await makeTestKey(programme.database, { expiresAt: Date.now() - 1 })
    const signing = await makeTestKey(programme.database, { mustSign: true })
    const revoked = await makeTestKey(programme.database, { name: 'revoked' })
    const { id = '' } =
      (await listKeys(programme.database.authPool)).find(({ name }) => name === 'revoked') ?? {}
    expect((await programme.post(revoked)).status).toBe(200)
    await revokeKey(programme.database.authPool, id, COMMAND, Date.now())
    const answers = await Promise.all(
      [expired, signing, revoked, 'hfk_none', ''].map((secret) =>
        programme.post(secret, createReport('desk')),
      ),
    )
    for (const answer of answers) {
      expect(answer.status).toBe(401)
      expect(answer.headers.get('content-type')).toBe('application/problem+json')
      expect(answer.headers.get('www-authenticate')).toContain('Bearer')
      expect(answer.body).toEqual(answers[0]?.body)
    }
  })

  test('is turned away before its body is read, however long that is', async () => {
    let sent = 0
    const body = new ReadableStream({
      pull(controller) {
        sent += 1
        if (sent > 400) controller.close()
        else controller.enqueue(new Uint8Array(1024 * 1024))
      },
    })
    const init = { method: 'POST', headers: { authorization: 'Bearer hfk_none' }, body, duplex: 'half' }
    const status = await fetch(`${programme.server.address}/api/events`, init as RequestInit).then(
      (response) => response.status,
      () => 'cut off',
    )
    expect([401, 'cut off']).toContain(status)
    expect(sent).toBeLessThan(400)
  })

  test('finds it revoked from one request to the next', async () => {
    const secret = await makeTestKey(programme.database, { name: 'mid-use' })
    expect((await programme.post(secret, createReport('desk'))).body).toMatchObject({ accepted: 1 })
    const { id = '' } =
      (await listKeys(programme.database.authPool)).find(({ name }) => name === 'mid-use') ?? {}
    await revokeKey(programme.database.authPool, id, COMMAND, Date.now())
    expect((await programme.post(secret, createReport('desk'))).status).toBe(401)
  })

  test('is noted as its last use', async () => {
    const used = (await listKeys(programme.database.authPool)).find(({ sources }) =>
      sources.includes('my dock'),
    )
    if (used?.lastUsedAt === null) await programme.post(programme.mine)
    const again = (await listKeys(programme.database.authPool)).find(({ sources }) =>
      sources.includes('my dock'),
    )
    expect(Date.now() - (again?.lastUsedAt ?? 0)).toBeLessThan(120_000)
  })
})

describe('a person', () => {
  const send = (headers: Record<string, string>, ...events: unknown[]) =>
    programme.ask('POST', '/api/events', events, headers)

  test.each([
    [{ 'sec-fetch-site': 'same-origin' }, { 'sec-fetch-site': 'cross-site' }],
    [{ 'sec-fetch-site': 'same-origin' }, { origin: 'http://localhost:1' }],
    [{ 'sec-fetch-site': 'same-origin' }, {}],
  ])('changes something from a page of ours (%j), and not otherwise (%j)', async (ours, elsewhere) => {
    const { cookie } = await signInAs(programme.database, ADMINISTRATOR)
    expect((await send({ cookie, ...ours }, createReport('programme'))).body.accepted).toBe(1)
    const refused = await send(
      { cookie, ...(elsewhere as Record<string, string>) },
      createReport('programme'),
    )
    expect(refused).toMatchObject({ status: 403, body: { type: 'urn:holdfast:problem:from-elsewhere' } })
    expect((await send(ours, createReport('programme'))).status).toBe(401)
  })

  test('reports under a source of their own, an administrator under any that is nobody’s', async () => {
    const administrator = await signInAs(programme.database, ADMINISTRATOR)
    const contact = await signInAs(programme.database, { plants: ['PL1'] })
    const results = async ({ headers }: SignedIn, ...sources: string[]) =>
      (
        await send(headers, ...sources.map((source) => createReport(source, { kind: 'collected' })))
      ).body.items.map(({ result }) => result)
    const sources = [`hand ${contact.personId}`, `hand ${administrator.personId}`, 'programme']
    expect(await results(contact, ...sources)).toEqual(['accepted', 'refused', 'refused'])
    expect(await results(administrator, ...sources)).toEqual(['refused', 'accepted', 'accepted'])
  })
})

describe('a key that has to sign', () => {
  let id = ''
  let hmacKey: Buffer
  beforeAll(async () => {
    const rights: Partial<KeyRights> = { name: 'signing', sources: ['signer'], mustSign: true }
    const secret = await makeTestKey(programme.database, rights)
    hmacKey = createHash('sha256').update(secret).digest()
    id = (await listKeys(programme.database.authPool)).find(({ name }) => name === 'signing')?.id ?? ''
  })

  async function sign(body: string, createdAt = Date.now(), path = '/api/events') {
    const digest = createHash('sha256').update(body).digest('base64')
    const message = {
      method: 'POST',
      url: `${programme.server.address}${path}`,
      headers: { 'content-type': 'application/json', 'content-digest': `sha-256=:${digest}:` },
    }
    const signed = await httpbis.signMessage(
      {
        fields: ['@method', '@target-uri', '@path', 'content-digest'],
        params: ['created', 'keyid', 'alg'],
        paramValues: { created: new Date(createdAt), keyid: id, alg: 'hmac-sha256' },
        key: { sign: async (base: Buffer) => createHmac('sha256', hmacKey).update(base).digest() },
      },
      message,
    )
    return signed.headers as Record<string, string>
  }

  async function send(body: string, headers: Record<string, string>) {
    const response = await fetch(`${programme.server.address}/api/events`, { method: 'POST', headers, body })
    return { status: response.status, body: await response.json() }
  }

  test('is taken by its signature, without its secret, and once only', async () => {
    const body = JSON.stringify(createReport('signer'))
    const headers = await sign(body)
    expect(await send(body, headers)).toMatchObject({ status: 200, body: { accepted: 1 } })
    expect((await send(body, headers)).status).toBe(401)
  })

  test('is not taken with another body, of another time, for another path, or by another secret', async () => {
    const body = JSON.stringify(createReport('signer'))
    const other = body.replace('scanned', 'loaded')
    expect(await send(other, await sign(body))).toMatchObject({
      status: 400,
      body: { type: 'urn:holdfast:problem:content-digest' },
    })
    const { 'content-digest': digest } = await sign(other)
    expect((await send(other, { ...(await sign(body)), 'content-digest': digest as string })).status).toBe(
      401,
    )
    expect((await send(body, await sign(body, Date.now() - 6 * 60_000))).status).toBe(401)
    expect((await send(body, await sign(body, Date.now() + 6 * 60_000))).status).toBe(401)
    expect((await send(body, await sign(body, Date.now(), '/api/register'))).status).toBe(401)
    hmacKey = Buffer.alloc(32)
    expect((await send(body, await sign(body))).status).toBe(401)
    const { rows: kept } = await programme.database.owner.query(
      "select count(*)::int from event where source = 'signer'",
    )
    expect(kept).toEqual([{ count: 1 }])
  })
})

// Must stay last in the file: it uses up the refusals of this address.
describe('limits', () => {
  test('hold off an address that keeps sending keys that are none, and say how long to wait', async () => {
    const answers = []
    for (let n = 0; n < 61; n += 1) answers.push(await programme.post(`hfk_guess${n}`))
    const last = answers.at(-1)
    expect(last?.status).toBe(429)
    expect(last?.headers.get('content-type')).toBe('application/problem+json')
    const wait = Number(last?.headers.get('retry-after'))
    expect(wait).toBeGreaterThan(0)
    expect(wait).toBeLessThanOrEqual(60)
  })
})
