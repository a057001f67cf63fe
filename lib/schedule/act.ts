/** The acts of one test, in the order in which they come. */
export const ACT_KINDS = ['post kit', 'cut', 'hand over', 'receive', 'load', 'end test', 'report'] as const
export type ActKind = (typeof ACT_KINDS)[number]

/** Who has to act; a plant and a laboratory by their code. */
export type Actor = { by: 'programme' } | { by: 'plant'; code: string } | { by: 'laboratory'; code: string }

/** One act of a test, and by when who has to do it. */
export interface Act {
  act: ActKind
  actor: Actor
  /** The last local day (a day number in `zone`) on which it is in time; its actor works on it. */
  dueDay: number
  zone: string
  /** The last instant of that day, ms UTC. */
  dueAt: number
}

/** One test that a duty asks for. */
export interface Occurrence {
  duty: string
  /** From 0, the first. */
  number: number
  /** The last day (in the laboratory's zone) on which its report is in time. */
  dueDay: number
  /** From this day on (in the laboratory's zone) an issued kit counts for it. */
  opensDay: number
  /** What sets the day: the duty's months, or a certificate that expires before. */
  because: 'duty' | 'certificate'
}
