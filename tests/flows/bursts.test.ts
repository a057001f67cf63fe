import { Agent, request } from 'node:http'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister, KIT } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { expectPromised, makeLatencies, PROBED, probe } from './latencies'

/** Fewer than one address may have connections. */
const PARALLEL = 240
/** Addresses of this machine (127.0.0.0/8) that a burst from many clients comes from. */
const FOUR_ADDRESSES = [2, 3, 4, 5].map((n) => `127.0.0.${n}`)
/** A machine that posts stands beside people who read. */
const READERS_ADDRESS = ['127.0.0.1']
const ROUNDS = chooseUsualOrLong({ usual: 20, long: 40 })
const MAX_ROUNDS = chooseUsualOrLong({ usual: 40, long: 200 })

/** Latencies of each path without a burst and beside one, ms. */
const calm = makeLatencies()
const attacked = makeLatencies()

let server: Awaited<ReturnType<typeof startTestServer>>
let reader: SignedIn
/** Those who send: a person reads, a key posts. */
let person: SignedIn
let key: string
beforeAll(async () => {
  const database = await makeTestDatabase()
  await applyRegister(database.app, checkedRegister(), Date.now())
  // The limits of requests and items would end the bursts before they hurt.
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  reader = await signInAs(database, ADMINISTRATOR)
  person = await signInAs(database, ADMINISTRATOR)
  key = await makeTestKey(database)
  for (const path of PROBED) await (await fetch(server.address + path, { headers: reader.headers })).text()
})

interface Sent {
  method: 'GET' | 'POST'
  path: string
  body: string
  /** The addresses of those who send. */
  addresses: readonly string[]
}

const agents = new Map<string, Agent>()
afterAll(() => {
  for (const agent of agents.values()) agent.destroy()
})

/** The connections from an address: as many as it likes. */
function getAgent(localAddress: string): Agent {
  const known = agents.get(localAddress) ?? new Agent({ keepAlive: true, localAddress })
  agents.set(localAddress, known)
  return known
}

let count = 0
/** The status of the answer; 0 if the connection broke. */
function send(burst: Sent): Promise<number> {
  const { method, path, body, addresses } = burst
  const agent = getAgent(addresses[count % addresses.length] as string)
  count += 1
  const { port } = new URL(server.address)
  const headers =
    method === 'GET' ? person.headers : { authorization: `Bearer ${key}`, 'content-type': 'application/json' }
  return new Promise((resolve) => {
    const options = { host: '127.0.0.1', port, path, method, headers, agent }
    const sent = request(options, (response) => {
      response.resume()
      response.once('close', () => resolve(response.statusCode ?? 0))
    })
    // The server ends a connection that was idle; who meets that begins anew, as every client has to.
    sent.on('error', () => resolve(sent.reusedSocket ? send(burst) : 0))
    sent.end(body)
  })
}

const post = (body: string, addresses = READERS_ADDRESS): Sent => ({
  method: 'POST',
  path: '/api/events',
  body,
  addresses,
})
const zeros = (items: number) => `[${'0,'.repeat(items - 1)}0]`
const event = JSON.stringify({
  source: 'desk',
  id: 'one',
  sample: KIT,
  kind: 'scanned',
  at: '2026-10-19T10:00:00Z',
})

const bursts: [string, Sent][] = [
  ['one event each', post(event)],
  ['one refused item each', post('[0]')],
  ['500 refused items each', post(zeros(500))],
  ['500 refused items each, from four addresses', post(zeros(500), FOUR_ADDRESSES)],
  [
    'the board, from four addresses',
    { method: 'GET', path: '/api/board', body: '', addresses: FOUR_ADDRESSES },
  ],
]

describe('while one key or person sends 240 requests at a time', () => {
  test.each(bursts)('%s: health and board answer, and no answer is a 5xx', async (_, sent) => {
    await probe(server.address, reader.headers, calm, { minRounds: ROUNDS })
    const statuses: number[] = []
    let isProbing = true
    const senders = Array.from({ length: PARALLEL }, async () => {
      do statuses.push(await send(sent))
      while (isProbing)
    })
    try {
      const rounds = { minRounds: ROUNDS, maxRounds: MAX_ROUNDS }
      await probe(server.address, reader.headers, attacked, rounds, () => statuses.length >= PARALLEL)
    } finally {
      isProbing = false
      await Promise.all(senders)
    }
    const counts: Record<number, number> = {}
    for (const status of statuses) counts[status] = (counts[status] ?? 0) + 1
    console.log('answers by status', counts)
    expect(statuses.filter((status) => status >= 500 || status === 0)).toEqual([])
  })

  test.each(PROBED)('%s answers within 500 ms at the 99th percentile', (path) => {
    expectPromised(path, calm, attacked)
  })
})
