import { setTimeout as wait } from 'node:timers/promises'
import type { Answer } from '@/lib/intake/answers/answer'
import { makeRandom } from '@/tests/bench/manyEvents'
import { makeHostileBody } from './hostile/hostileBody'
import type { HostileRequest } from './hostile/hostileRequest'
import type { Torment } from './torment'
import type { Victim } from './victim'

const SENDERS = 4
const PATIENCE_MS = 30_000
const LOOK_EVERY = 500
const HEALTH_MS = 5_000
const MAX_RETRIES = 20

export const hostileBodies: Torment = {
  name: 'hostile bodies',
  what: 'Broken JSON, huge numbers, lone surrogates, U+0000, deep nesting, wrong encodings and digests, quotes in CSV; no 5xx, no process dies, and the server says meanwhile that it is alive.',
  round: 'a body',
  rounds: 100_000,
  shortRounds: 600,
  mostRoundSeconds: 0.1,
  async run({ rounds, seed, shared, tell }) {
    const victim = await shared()
    const before = victim.webServers().map(({ pid }) => pid)
    const statuses = new Map<number, number>()
    let next = 0
    const work = async (key: string) => {
      for (let number = next++; number < rounds; number = next++) {
        const hostile = makeHostileBody(makeRandom(seed + number * 17), number)
        const status = await send(victim, key, hostile, number)
        statuses.set(status, (statuses.get(status) ?? 0) + 1)
        if (number % LOOK_EVERY === 0) await lookAtHealth(victim, number)
        if (number > 0 && number % 10_000 === 0) tell(`${number} of ${rounds} bodies`)
      }
    }
    await Promise.all(victim.keys.slice(0, SENDERS).map(work))
    const after = victim.webServers().map(({ pid }) => pid)
    if (String(before) !== String(after))
      victim.record.wrongAnswers.push(`the web server was process ${before} and is now ${after}`)
    const counted = [...statuses].sort(([a], [b]) => a - b).map(([status, count]) => `${count} of ${status}`)
    return { did: `Sent ${rounds} bodies; answers: ${counted.join(', ')}.` }
  },
}

/** Sends one body, again while it is told to wait. @returns the status. */
async function send(victim: Victim, key: string, hostile: HostileRequest, number: number): Promise<number> {
  const { body, headers, kind, isUnreadable } = hostile
  // What cannot be read is worth a look at the other route that reads bodies of machines.
  const [method, path] = isUnreadable && number % 4 === 0 ? ['PUT', '/api/register'] : ['POST', '/api/events']
  const blame = (fault: string) => victim.record.wrongAnswers.push(`body ${number} (${kind}): ${fault}`)
  for (let attempt = 1; ; attempt++) {
    try {
      const reply = await fetch(victim.address + path, {
        method,
        headers: { authorization: `Bearer ${key}`, ...headers },
        body,
        signal: AbortSignal.timeout(PATIENCE_MS),
      })
      const text = await reply.text()
      const isToWait = (reply.status === 429 || reply.status === 503) && attempt < MAX_RETRIES
      if (isToWait) {
        await wait(100)
        continue
      }
      if (reply.status >= 500) blame(`${reply.status} ${text.slice(0, 200)}`)
      else if (path === '/api/events' && reply.status === 200) hear(victim, text)
      else if (path === '/api/register' && reply.ok) blame('it was taken for a register')
      return reply.status
    } catch (error) {
      const { cause, message } = error as Error & { cause?: Error }
      // A kept connection can close just as a request leaves, and then the client sends it again (RFC 9112, section 9.3.1).
      if (attempt === 1) continue
      blame(`no answer: ${cause?.message ?? message}`)
      return 0
    }
  }
}

/** What is valid after all is stored, and has to be in the ledger like anything else. */
function hear({ record }: Victim, text: string) {
  const rows = (JSON.parse(text) as Answer).items
  for (const row of rows) if (row.result !== 'refused') record.sent.set(row.event, null)
  record.hear(rows, false)
}

async function lookAtHealth({ address, record }: Victim, number: number) {
  const asked = fetch(`${address}/api/health`, { signal: AbortSignal.timeout(HEALTH_MS) })
  const status = await asked.then(
    async (reply) => {
      await reply.text()
      return reply.status
    },
    (error: Error) => error.message,
  )
  if (status !== 200) record.wrongAnswers.push(`health at body ${number}: ${status}`)
}
