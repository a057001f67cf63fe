import { readFileSync } from 'node:fs'
import { Agent, request } from 'node:http'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { checkedRegister } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { drawUsual } from '@/tests/setup/drawUsual'
import { startTestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { ATTACKED_KITS, type HostileBody, makeHostileBodies } from './hostileBodies'
import { expectPromised, makeLatencies, PROBED, probe } from './latencies'

const PARALLEL = 4
const MAX_MEMORY_KIB = 1024 * 1024
/** No answer may be much larger than the largest body that is taken, 16 MiB. */
const MAX_ANSWER_BYTES = 16 * 1024 * 1024
/** Rounds of probes before each kind of body, and at least and at most beside it. */
const ROUNDS = chooseUsualOrLong({ usual: 5, long: 8 })
const MAX_ROUNDS = chooseUsualOrLong({ usual: 12, long: 60 })

const bodies = makeHostileBodies()
/** Latencies of each path without an attack and under it, ms. */
const calm = makeLatencies()
const attacked = makeLatencies()

let server: Awaited<ReturnType<typeof startTestServer>>
let reader: SignedIn
let keys: string[]
beforeAll(async () => {
  const database = await makeTestDatabase()
  await applyRegister(database.app, checkedRegister({ kits: ATTACKED_KITS }), Date.now())
  // The limits of requests and items would end the attack before it hurts.
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  reader = await signInAs(database, ADMINISTRATOR)
  keys = await Promise.all(Array.from({ length: PARALLEL }, () => makeTestKey(database)))
  for (const path of PROBED) await (await fetch(server.address + path, { headers: reader.headers })).text()
})

interface Answer {
  status: number
  bytes: number
}

/** Connections stay open, as those of most clients: one that is to be closed can lose an answer before its body ends. */
const agent = new Agent({ keepAlive: true })
afterAll(() => agent.destroy())

/** Sends a body and reads the answer, even if it comes before the body's end. Status 0: the connection was cut. */
function attack(hostile: HostileBody, key: string): Promise<Answer> {
  const { method, path, type, body } = hostile
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
    // A connection that is kept can break while no request holds it.
    sent.on('socket', (socket) => {
      if (!sent.reusedSocket) socket.on('error', () => {})
    })
    // An answer before the end of a body ends its connection; who meets it then begins anew, as every client has to.
    sent.on('error', () => resolve(answer.status === 0 && sent.reusedSocket ? attack(hostile, key) : answer))
    sent.on('close', () => resolve(answer))
    sent.end(body)
  })
}

describe('while four principals send a body made to exhaust the server', () => {
  test.each(drawUsual(bodies, 12))('$name: health and board answer, and no answer is a 5xx', async (body) => {
    await probe(server.address, reader.headers, calm, { minRounds: ROUNDS })
    const answers: Answer[] = []
    let isProbing = true
    const attackers = keys.map(async (key) => {
      do answers.push(await attack(body, key))
      while (isProbing)
    })
    const rounds = { minRounds: ROUNDS, maxRounds: MAX_ROUNDS }
    await probe(server.address, reader.headers, attacked, rounds, () => answers.length >= PARALLEL)
    isProbing = false
    await Promise.all(attackers)
    expect(answers.filter(({ status }) => status >= 500 || status === 0)).toEqual([])
    expect(answers.filter(({ bytes }) => bytes > MAX_ANSWER_BYTES)).toEqual([])
  })

  test.each(PROBED)('%s answers within 500 ms at the 99th percentile', (path) => {
    expectPromised(path, calm, attacked)
  })

  test('the web server stays under 1 GB', () => {
    const peak = Number(/^VmHWM:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${server.pid}/status`, 'utf8'))?.[1])
    console.log(`peak memory ${Math.round(peak / 1024)} MiB`)
    expect(peak).toBeLessThan(MAX_MEMORY_KIB)
  })
})
