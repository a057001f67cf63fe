import type { Actor, AuditLine } from '../scope/audit'

/** An attempt at what one may not do. */
export interface RefusedAttempt {
  actor: Actor
  /** What was asked for, by its name in the table of routes, or in a few words: "GET /api/board", "signing in". */
  wanted: string
  /** Why it was refused, in a few words. */
  reason: string
}

/** Writes lines of the record of who did what, as of `at` (ms UTC). */
export type WriteAttempts = (lines: { actor: Actor; line: AuditLine; at: number }[]) => Promise<void>

const MINUTE_MS = 60_000
/** Kinds of attempts told apart in a minute; what is beyond is summed as from many addresses. */
const MAX_GROUPS = 200

interface AttemptGroup {
  attempt: RefusedAttempt
  repeats: number
}

/**
 * Puts refused attempts on record without letting a flood of them fill it: the first of its kind in a minute at once,
 * all further ones of that minute as one line with their number when the minute is over. Of one kind are those from
 * one address, by one principal, at one thing, for one reason. What a stop of the server finds not yet written is lost.
 */
export class RefusedAttempts {
  private minute = Number.NEGATIVE_INFINITY
  private readonly sums = new Map<string, AttemptGroup>()

  constructor(private readonly write: WriteAttempts) {}

  /** Notes an attempt made at `now` (ms UTC); resolves when what had to be written at once is. */
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

  /** Writes what the minutes that are over at `now` have summed. */
  async flush(now: number): Promise<void> {
    if (Math.floor(now / MINUTE_MS) === this.minute) return
    const lines = this.drain()
    if (lines.length > 0) await this.write(lines)
  }

  /** The sums of the minute, which begin anew; dated at its last millisecond. */
  private drain() {
    const at = (this.minute + 1) * MINUTE_MS - 1
    const lines = [...this.sums.values()]
      .filter(({ repeats: further }) => further > 0)
      .map(({ attempt, repeats: further }) => ({
        actor: attempt.actor,
        line: toAuditLine(attempt, further),
        at,
      }))
    this.sums.clear()
    return lines
  }
}

const getGroupKey = ({ actor, wanted, reason }: RefusedAttempt) =>
  JSON.stringify([actor.address, actor.who, wanted, reason])

/** What an attempt counts as where there are too many kinds to tell apart. */
const toOverflow = ({ wanted }: RefusedAttempt): RefusedAttempt => ({
  actor: { who: 'nobody', name: 'many at once', address: null },
  wanted,
  reason: 'too many to tell apart',
})

const toAuditLine = ({ wanted, reason }: RefusedAttempt, count: number): AuditLine => ({
  what: `tried ${wanted}`,
  after: { reason },
  outcome: 'refused',
  count,
})
