import type { Actor, AuditLine } from '../scope/audit'

export interface RefusedAttempt {
  actor: Actor
  /** What was attempted: the name of a route, or a few words: "GET /api/board", "signing in". */
  attempted: string
  /** The reason, in a few words. */
  reason: string
}

/** Appends lines to the audit log as of `at` (ms UTC). */
export type WriteAttempts = (lines: { actor: Actor; line: AuditLine; at: number }[]) => Promise<void>

const MINUTE_MS = 60_000
/** Groups counted separately within a minute; further attempts are summed over all addresses. */
const MAX_GROUPS = 200

interface AttemptGroup {
  attempt: RefusedAttempt
  repeats: number
}

/**
 * Records refused attempts without letting a flood fill the audit log: the first of a group at once, the rest of that
 * minute as one line with their number when the minute is over. A group has one address, one principal, one target and
 * one reason. Sums not yet written are lost when the server stops.
 */
export class RefusedAttempts {
  private minute = Number.NEGATIVE_INFINITY
  private readonly sums = new Map<string, AttemptGroup>()

  constructor(private readonly write: WriteAttempts) {}

  /** Adds an attempt; resolves once anything due at once is written. `now` in ms UTC. */
  async add(attempt: RefusedAttempt, now: number): Promise<void> {
    const minute = Math.floor(now / MINUTE_MS)
    const ended = minute === this.minute ? [] : this.drain()
    this.minute = minute
    const counted =
      this.sums.size < MAX_GROUPS || this.sums.has(getGroupKey(attempt)) ? attempt : toOverflow(attempt)
    const kind = getGroupKey(counted)
    const known = this.sums.get(kind)
    if (known) known.repeats++
    else this.sums.set(kind, { attempt: counted, repeats: 0 })
    const lines = known ? ended : [...ended, { actor: counted.actor, line: toAuditLine(counted, 1), at: now }]
    if (lines.length > 0) await this.write(lines)
  }

  /** Writes the sums of minutes that are over at `now` (ms UTC). */
  async flush(now: number): Promise<void> {
    if (Math.floor(now / MINUTE_MS) === this.minute) return
    const lines = this.drain()
    if (lines.length > 0) await this.write(lines)
  }

  /** Takes the sums of the current minute, dated at its last millisecond, and clears them. */
  private drain() {
    const at = (this.minute + 1) * MINUTE_MS - 1
    const lines = [...this.sums.values()]
      .filter(({ repeats }) => repeats > 0)
      .map(({ attempt, repeats }) => ({
        actor: attempt.actor,
        line: toAuditLine(attempt, repeats),
        at,
      }))
    this.sums.clear()
    return lines
  }
}

const getGroupKey = ({ actor, attempted, reason }: RefusedAttempt) =>
  JSON.stringify([actor.address, actor.who, attempted, reason])

/** The group for attempts beyond `MAX_GROUPS`. */
const toOverflow = ({ attempted }: RefusedAttempt): RefusedAttempt => ({
  actor: { who: 'nobody', name: 'many at once', address: null },
  attempted,
  reason: 'too many to list',
})

const toAuditLine = ({ attempted, reason }: RefusedAttempt, count: number): AuditLine => ({
  what: `tried ${attempted}`,
  after: { reason },
  outcome: 'refused',
  count,
})
