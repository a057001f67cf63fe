import { readFileSync } from 'node:fs'
import { Agent, request } from 'node:http'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { type HostileBody, makeHostileBodies } from './hostileBodies'

const PARALLEL = 4
const MAX_P99_MS = 500
const MAX_MEMORY_KIB = 1024 * 1024
/** No answer may be much larger than the largest body that is taken, 16 MiB. */
const MAX_ANSWER_BYTES = 16 * 1024 * 1024
/** Rounds of probes beside each kind of body, at least. */
const MIN_ROUNDS = 8

const bodies = makeHostileBodies()
const probed = ['/api/health', '/api/board', '/'] as const
const latencies = new Map<string, number[]>(probed.map((path) => [path, []]))

let server: Awaited<ReturnType<typeof startTestServer>>
let reader: SignedIn
let keys: string[]
beforeAll(async () => {
  const database = await makeTestDatabase()
  await applyRegister(database.app, checkedRegister(), Date.now())
  // The limits of requests and items would end the attack before it hurts.
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  reader = await signInAs(database, ADMINISTRATOR)
  keys = await Promise.all(Array.from({ length: PARALLEL }, () => makeTestKey(database)))
  for (const path of probed) await (await fetch(server.address + path, { headers: reader.headers })).text()
})

interface Answer {
  status: number
  bytes: number
}

/** Connections stay open, as those of most clients: one that is to be closed can lose an answer before its body ends. */
const agent = new Agent({ keepAlive: true })
afterAll(() => agent.destroy())

/** Sends a body and reads the answer, even if it comes before the body's end. Status 0: the connection was cut. */
function attack({ method, path, type, body }: HostileBody, key: string): Promise<Answer> {
  return new Promise((resolve) => {
    let answer: Answer = { status: 0, bytes: 0 }
    const sent = request(server.address + path, {
      method,
      headers: { authorization: `Bearer ${key}`, 'content-type': type, 'content-length': body.length },
      agent,
    })
    sent.on('response', (response) => {
      answer = { status: response.statusCode ?? 0, bytes: 0 }
      response.on('data', (chunk: Buffer) => {
        answer.bytes += chunk.length
      })
      response.on('error', () => {})
    })
    sent.on('error', () => resolve(answer))
    sent.on('close', () => resolve(answer))
    sent.end(body)
  })
}

async function probe(path: string): Promise<void> {
  const startedAt = performance.now()
  const response = await fetch(server.address + path, { headers: reader.headers })
  await response.text()
  latencies.get(path)?.push(performance.now() - startedAt)
  expect([path, response.status]).toEqual([path, 200])
}

describe('while four principals send a body made to exhaust the server', () => {
  test.each(bodies)('$name: health and board answer, and no answer is a 5xx', async (body) => {
    const answers: Answer[] = []
    let isProbing = true
    const attackers = keys.map(async (key) => {
      do answers.push(await attack(body, key))
      while (isProbing)
    })
    for (let round = 0; round < MIN_ROUNDS; round += 1) await Promise.all(probed.map(probe))
    isProbing = false
    await Promise.all(attackers)
    expect(answers.filter(({ status }) => status >= 500 || status === 0)).toEqual([])
    expect(answers.filter(({ bytes }) => bytes > MAX_ANSWER_BYTES)).toEqual([])
  })

  test.each(probed)('%s answers within 500 ms at the 99th percentile', (path) => {
    const sorted = [...(latencies.get(path) ?? [])].sort((a, b) => a - b)
    const p99 = sorted[Math.ceil(sorted.length * 0.99) - 1] as number
    console.log(
      `${path}: ${sorted.length} answers, median ${sorted[sorted.length >> 1]?.toFixed(0)} ms, 99th percentile ${p99.toFixed(0)} ms`,
    )
    expect(p99).toBeLessThan(MAX_P99_MS)
  })

  test('the web server stays under 1 GB', () => {
    const peak = Number(/^VmHWM:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${server.pid}/status`, 'utf8'))?.[1])
    console.log(`peak memory ${Math.round(peak / 1024)} MiB`)
    expect(peak).toBeLessThan(MAX_MEMORY_KIB)
  })
})
