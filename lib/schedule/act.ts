import type { Milestone } from '@/lib/hold/milestone'
import type { MessageKey } from '@/lib/messages/message'

/** Who has to act; a plant and a laboratory by their code. */
export type Actor = { by: 'programme' } | { by: 'plant'; code: string } | { by: 'laboratory'; code: string }

/** A message about a sample ({sample}): what to do about it. */
export type ActMessage = Extract<MessageKey, `${'act' | 'overdue'}.${string}.${'do' | 'record' | 'ask'}`>

export function isSameActor(a: Actor, b: Actor): boolean {
  return a.by === b.by && (a.by === 'programme' || b.by === 'programme' || a.code === b.code)
}

interface ActRow {
  by: Actor['by']
  /** "Load 7KQ2-M94Y", without a full stop. */
  text: ActMessage
  /** The milestone that it reaches; null if it reaches none. */
  milestone: Milestone | null
}

/** The acts of one test, in their order. */
export const ACTS = {
  'post kit': { by: 'programme', text: 'act.postKit.do', milestone: null },
  cut: { by: 'plant', text: 'act.cut.do', milestone: 'collected' },
  'hand over': { by: 'plant', text: 'act.handOver.do', milestone: 'dispatched' },
  receive: { by: 'laboratory', text: 'act.receive.do', milestone: 'received' },
  load: { by: 'laboratory', text: 'act.load.do', milestone: 'loaded' },
  'end test': { by: 'laboratory', text: 'act.endTest.do', milestone: 'reported' },
  report: { by: 'laboratory', text: 'act.report.do', milestone: 'reported' },
} as const satisfies Record<string, ActRow>

export type ActKind = keyof typeof ACTS

/** One act of a test: whose it is, and when it is due. */
export interface Act {
  act: ActKind
  actor: Actor
  /** The last local day (a day number in `zone`) on which it is in time: a working day of its actor. */
  dueDay: number
  zone: string
  /** The last instant of that day, ms UTC. */
  dueAt: number
}

/** One test that a duty asks for. */
export interface Occurrence {
  duty: string
  /** From 0 */
  number: number
  /** The last day (in the laboratory's zone) on which its report is in time. */
  dueDay: number
  /** The first day (in the laboratory's zone) on which an issued kit counts for it. */
  opensDay: number
  /** What sets the day: the duty's months, or a certificate that expires sooner. */
  reason: 'duty' | 'certificate'
}
