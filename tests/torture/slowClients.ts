import { connect, type Socket } from 'node:net'
import { setTimeout as wait } from 'node:timers/promises'
import type { Torment } from './torment'
import type { Victim } from './victim'

const STEP_MS = 400
/** No connection may be held longer: the largest body over a slow line takes five minutes, and then some time to notice. */
const HELD_MS = 330_000
/** Ordinary clients have another address, since a server takes only so many connections of one. */
const SLOW_ADDRESS = '127.0.0.2'

/** What a slow client sends at once, and then letter by letter without end. */
const KINDS: Record<string, (key: string) => { first: string; trickle: string }> = {
  'nothing at all': () => ({ first: '', trickle: '' }),
  headers: () => ({ first: 'POST /api/events HTTP/1.1\r\nHost: localhost\r\n', trickle: 'X-Slow: a\r\n' }),
  'an unsigned body': () => ({ first: head(''), trickle: ' ' }),
  'a signed-in body': (key) => ({ first: head(`Authorization: Bearer ${key}\r\n`), trickle: ' ' }),
  'a body in chunks': (key) => ({
    first: `POST /api/events HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer ${key}\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n`,
    trickle: '1\r\n \r\n',
  }),
}

const head = (more: string) =>
  `POST /api/events HTTP/1.1\r\nHost: localhost\r\n${more}Content-Type: application/json\r\nContent-Length: 500000\r\n\r\n`

export const slowClients: Torment = {
  name: 'slow clients',
  what: 'Hundreds of connections send nothing, or headers or bodies letter by letter, while ordinary clients post; the server hangs up on all of them in the end.',
  round: 'a slow connection',
  rounds: 450,
  shortRounds: 60,
  mostRoundSeconds: 2,
  async run({ rounds, seed, shared, isShort }) {
    const victim = await shared()
    const clients = victim.startClients(seed)
    const kinds = Object.keys(KINDS)
    const startedAt = Date.now()
    const slow = Array.from({ length: rounds }, (_, index) =>
      openSlow(victim, kinds[index % kinds.length] as string),
    )
    try {
      await clients.waitForMore(100, 30_000)
      // A test that has two minutes for all torments cannot wait for a timeout of one.
      const endAt = startedAt + (isShort ? 0 : HELD_MS)
      while (slow.some(({ isOpen }) => isOpen()) && Date.now() < endAt) await wait(200)
      await clients.waitForMore(1)
    } finally {
      await clients.stop()
    }
    const held = new Map<string, number>()
    for (const { kind, isOpen } of slow) if (isOpen()) held.set(kind, (held.get(kind) ?? 0) + 1)
    for (const { close } of slow) close()
    if (!isShort)
      for (const [kind, count] of held)
        victim.record.wrongAnswers.push(
          `${count} connections with ${kind} were held for ${HELD_MS / 1_000} s`,
        )
    const lasted = Math.max(...slow.map(({ closedAt }) => closedAt() ?? startedAt)) - startedAt
    return {
      did: `Opened ${rounds} slow connections; the server hung up on the last after ${Math.round(lasted / 1_000)} s.`,
    }
  },
}

function openSlow(victim: Victim, kind: string) {
  const { first, trickle } = KINDS[kind]?.(victim.keys[0] as string) ?? { first: '', trickle: '' }
  const socket: Socket = connect({
    host: '127.0.0.1',
    port: Number(new URL(victim.address).port),
    localAddress: SLOW_ADDRESS,
  })
  let closedAt: number | null = null
  const letters = setInterval(() => socket.writable && socket.write(trickle), STEP_MS)
  const end = () => {
    clearInterval(letters)
    closedAt ??= Date.now()
    socket.destroy()
  }
  socket.on('error', end)
  socket.on('end', end)
  socket.on('close', end)
  socket.on('data', () => {})
  if (first) socket.write(first)
  return { kind, isOpen: () => closedAt === null, closedAt: () => closedAt, close: end }
}
