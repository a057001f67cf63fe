import type { ActKind, Actor } from './act'
import type { Owed } from './owed'

/** The acts of one test that one has to do on one day. */
export interface DueLine {
  owed: Owed
  acts: ActKind[]
  actor: Actor
  /** The last local day (a day number in `zone`) on which they are in time. */
  dueDay: number
  zone: string
  /** The last instant of that day, ms UTC. */
  dueAt: number
}

/** What is still to be done of what is owed and in time at `now` (ms UTC), by when it is due. */
export function dueLines(owed: readonly Owed[], now: number): DueLine[] {
  return owed
    .flatMap((one) => linesOf(one, now))
    .sort((a, b) => a.dueAt - b.dueAt || (a.owed.duty < b.owed.duty ? -1 : a.owed.duty > b.owed.duty ? 1 : 0))
}

function linesOf(owed: Owed, now: number): DueLine[] {
  const lines: DueLine[] = []
  for (const { act, actor, dueDay, zone, dueAt, isDone } of owed.acts) {
    if (isDone || dueAt < now) continue
    const last = lines.at(-1)
    if (last && isSame(last.actor, actor) && last.dueDay === dueDay) last.acts.push(act)
    else lines.push({ owed, acts: [act], actor, dueDay, zone, dueAt })
  }
  return lines
}

function isSame(a: Actor, b: Actor): boolean {
  return a.by === b.by && (a.by === 'programme' || b.by === 'programme' || a.code === b.code)
}
