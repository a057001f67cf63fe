import type { EventKind } from '@/lib/custody/event'
import type { Milestone } from '@/lib/hold/milestone'
import { HAPPENED } from '@/lib/schedule/milestoneWords'

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
