import { randomBytes } from 'node:crypto'

/** How long a secret waits to be shown, ms. */
const LIFETIME_MS = 5 * 60_000

/** What is shown to one person, once, and kept nowhere but in this process meanwhile. */
export class OneTimeSecrets<T> {
  private readonly waiting = new Map<string, { personId: string; value: T; until: number }>()

  /** Keeps a value for a person at `now` (ms UTC); what it can be had for. */
  keep(personId: string, value: T, now: number): string {
    for (const [ticket, { until }] of this.waiting) if (until <= now) this.waiting.delete(ticket)
    const ticket = randomBytes(18).toString('base64url')
    this.waiting.set(ticket, { personId, value, until: now + LIFETIME_MS })
    return ticket
  }

  /** The value of a ticket, this once and to this person only; null where there is none. */
  consume(personId: string, ticket: string, now: number): T | null {
    const found = this.waiting.get(ticket)
    if (!found || found.personId !== personId) return null
    this.waiting.delete(ticket)
    return found.until > now ? found.value : null
  }
}
