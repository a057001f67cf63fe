import { randomBytes } from 'node:crypto'

/** How long a secret waits to be shown, ms. */
const LIFETIME_MS = 5 * 60_000

/** Secrets that are shown to one person, once, and until then are held only in the memory of this process. */
export class OneTimeSecrets<T> {
  private readonly waiting = new Map<string, { personId: string; value: T; until: number }>()

  /** Keeps a value for a person. Returns the ticket for it. `now` in ms UTC. */
  keep(personId: string, value: T, now: number): string {
    for (const [ticket, { until }] of this.waiting) if (until <= now) this.waiting.delete(ticket)
    const ticket = randomBytes(18).toString('base64url')
    this.waiting.set(ticket, { personId, value, until: now + LIFETIME_MS })
    return ticket
  }

  /** The value of a ticket, once and for its person only; null if there is none. `now` in ms UTC. */
  consume(personId: string, ticket: string, now: number): T | null {
    const found = this.waiting.get(ticket)
    if (!found || found.personId !== personId) return null
    this.waiting.delete(ticket)
    return found.until > now ? found.value : null
  }
}
