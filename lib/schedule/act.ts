import type { Milestone } from '@/lib/hold/milestone'
import type { Translate } from '@/lib/messages/translate'

/** Who has to act; a plant and a laboratory by their code. */
export type Actor = { by: 'programme' } | { by: 'plant'; code: string } | { by: 'laboratory'; code: string }

interface ActRow {
  by: Actor['by']
  /** What it asks for, as a sentence without its end: "load 7KQ2-M94Y". `what` is a kit, a product, or "it". */
  asks(what: string): string
  /** What is reached with it; null where no milestone tells. */
  milestone: Milestone | null
}

/** The acts of one test, in the order in which they come. */
export const ACTS = {
  'post kit': { by: 'programme', asks: (what) => `post the kit for ${what}`, milestone: null },
  cut: { by: 'plant', asks: (what) => `cut ${what}`, milestone: 'collected' },
  'hand over': { by: 'plant', asks: (what) => `hand ${what} to the carrier`, milestone: 'dispatched' },
  receive: {
    by: 'laboratory',
    asks: (what) => (what === 'it' ? 'log its receipt' : `log the receipt of ${what}`),
    milestone: 'received',
  },
  load: { by: 'laboratory', asks: (what) => `load ${what}`, milestone: 'loaded' },
  'end test': {
    by: 'laboratory',
    asks: (what) => (what === 'it' ? 'end its test' : `end the test of ${what}`),
    milestone: 'reported',
  },
  report: { by: 'laboratory', asks: (what) => `issue the report on ${what}`, milestone: 'reported' },
} as const satisfies Record<string, ActRow>

export type ActKind = keyof typeof ACTS

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
  reason: 'duty' | 'certificate'
}

/** Whom to ask about what is under way. */
export function formatCarrierRequest(t: Translate, what: string, carrier = 'the carrier'): string {
  return `ask ${carrier} about ${what}`
}

/** What the programme does about a sample that has to be cut again: nothing can be cut before a kit has come. */
export function formatReplacementRequest(t: Translate, what: string): string {
  return `issue a kit to replace ${what}`
}

/** Beside whatever asks to cut, in mails and calendars; the site's own rules come first. */
export const CUTTING_CAUTION =
  'Before cutting: sharp blades, moving lines and heavy rolls can hurt. Follow the site’s own safety rules; Holdfast does not replace them.'
