import { connect, type Socket } from 'node:net'
import { setTimeout as wait } from 'node:timers/promises'
import type { Torment } from './torment'
import type { Victim } from './victim'

const STEP_MS = 400
/** What is refused, or says nothing, is held for fifteen seconds and then some time to notice, on a busy machine more. */
const SILENT_MS = 60_000
/** The largest body over a slow line takes five minutes, and then some time to notice. */
const BODY_MS = 330_000
/** Ordinary clients have other addresses and keys, since a server takes only so many connections and requests of one. */
const SLOW_ADDRESS = '127.0.0.2'

interface Kind {
  /** What it sends at once, and then letter by letter without end. */
  first: (key: string) => string
  trickle: string
  /** No connection may be held longer. */
  mostMs: number
}

const KINDS: Record<string, Kind> = {
  'nothing at all': { first: () => '', trickle: '', mostMs: SILENT_MS },
  headers: {
    first: () => 'POST /api/events HTTP/1.1\r\nHost: localhost\r\n',
    trickle: 'X-Slow: a\r\n',
    mostMs: SILENT_MS,
  },
  'an unsigned body': { first: () => head(LENGTH), trickle: ' ', mostMs: SILENT_MS },
  'a signed-in body': { first: (key) => head(signIn(key) + LENGTH), trickle: ' ', mostMs: BODY_MS },
  'a body in chunks': {
    first: (key) => head(`${signIn(key)}Transfer-Encoding: chunked\r\n`),
    trickle: '1\r\n \r\n',
    mostMs: BODY_MS,
  },
}

const LENGTH = 'Content-Length: 500000\r\n'
const signIn = (key: string) => `Authorization: Bearer ${key}\r\n`
const head = (more: string) =>
  `POST /api/events HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n${more}\r\n`

export const slowClients: Torment = {
  name: 'slow clients',
  what: 'Hundreds of connections send nothing, or headers or bodies letter by letter, while ordinary clients post; the server hangs up on all of them in the end.',
  round: 'a slow connection',
  rounds: 450,
  shortRounds: 20,
  mostRoundSeconds: 2,
  async run({ rounds, seed, shared, isShort }) {
    const victim = await shared()
    const clients = victim.startClients(seed)
    const kinds = Object.keys(KINDS)
    const slow = Array.from({ length: rounds }, (_, index) =>
      openSlow(victim, kinds[index % kinds.length] as string),
    )
    // A test waits for the short timeouts only, and nobody posts meanwhile.
    const waited = slow.filter(({ mostMs }) => !isShort || mostMs === SILENT_MS)
    const hungUp = async () => {
      while (waited.some(({ isOpen, isOverdue }) => isOpen() && !isOverdue())) await wait(200)
    }
    try {
      await clients.waitForMore(100)
      if (!isShort) await hungUp()
    } finally {
      await clients.stop()
    }
    await hungUp()
    const held = new Map<string, number>()
    for (const { kind, isOverdue } of waited) if (isOverdue()) held.set(kind, (held.get(kind) ?? 0) + 1)
    for (const { close } of slow) close()
    for (const [kind, count] of held)
      victim.record.wrongAnswers.push(`${count} connections with ${kind} were held too long`)
    const lasted = Math.max(0, ...waited.map(({ heldMs }) => heldMs()))
    return {
      did: `Opened ${rounds} slow connections; the server hung up on ${waited.length}, the last after ${Math.round(lasted / 1_000)} s.`,
    }
  },
}

function openSlow(victim: Victim, kind: string) {
  const { first, trickle, mostMs } = KINDS[kind] as Kind
  const openedAt = Date.now()
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
  socket.write(first(victim.spareKey))
  const heldMs = () => (closedAt ?? Date.now()) - openedAt
  return {
    kind,
    mostMs,
    heldMs,
    isOpen: () => closedAt === null,
    isOverdue: () => heldMs() > mostMs,
    close: end,
  }
}
