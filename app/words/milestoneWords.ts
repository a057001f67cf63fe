import type { EventKind } from '@/lib/custody/event'
import type { Milestone } from '@/lib/hold/milestone'

/** What has happened, in a word or two: the label of a small bar, the beginning of a sum. */
export const HAPPENED: Record<Milestone, string> = {
  produced: 'made',
  collected: 'cut',
  sealed: 'sealed',
  dispatched: 'handed over',
  delivered: 'delivered',
  received: 'received',
  conditioned: 'conditioning begun',
  loaded: 'in the chamber',
  reported: 'reported',
}

/** Since when a clock runs: "from when …". */
export const BEGAN: Record<Milestone, string> = {
  produced: 'it was made',
  collected: 'it was cut',
  sealed: 'it was sealed',
  dispatched: 'it was handed over',
  delivered: 'it was delivered',
  received: 'it was received',
  conditioned: 'conditioning began',
  loaded: 'it went into the chamber',
  reported: 'it was reported',
}

/** What a clock waits for: "until it is …". */
export const AWAITED: Record<Milestone, string> = {
  produced: 'made',
  collected: 'cut',
  sealed: 'sealed',
  dispatched: 'in the carrier’s hands',
  delivered: 'delivered',
  received: 'received',
  conditioned: 'in conditioning',
  loaded: 'in the chamber',
  reported: 'reported',
}

/** What to ask for where the time of a milestone is missing. */
export const ASKED: Record<Milestone, string> = {
  produced: 'ask when it was made',
  collected: 'ask when it was cut',
  sealed: 'ask when it was sealed',
  dispatched: 'ask when it was handed over',
  delivered: 'ask when it was delivered',
  received: 'ask when it was received',
  conditioned: 'ask when conditioning began',
  loaded: 'ask when it went into the chamber',
  reported: 'ask when it was reported',
}

const OTHER: Partial<Record<EventKind, string>> = {
  lost: 'lost',
  returned: 'returned',
  rejected: 'rejected at receipt',
  cancelled: 'cancelled',
  scanned: 'seen on the way',
  held: 'held on the way',
  withdrawn: 'a report withdrawn',
  extended: 'limit extended',
  deviation: 'deviation found',
  ruling: 'ruling',
  'form copy': 'copy of the form',
  'replaced by': 'replaced by another kit',
}

/** Any kind of event as a list of events names it. */
export function kindWords(kind: EventKind): string {
  return OTHER[kind] ?? HAPPENED[kind as Milestone] ?? kind
}
