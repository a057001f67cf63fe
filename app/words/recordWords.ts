import type { EventKind } from '@/lib/custody/event'
import { kindWords } from './milestoneWords'

/** What a press records, in a word or two. */
const PRESSED: Partial<Record<EventKind, string>> = {
  delivered: 'delivered by the carrier',
  loaded: 'loaded into the chamber',
  reported: 'report issued',
  rejected: 'rejected',
  lost: 'given up as lost',
  scanned: 'seen on the way',
  extended: 'extend a limit',
  deviation: 'something found wrong',
  ruling: 'rule on a deviation',
  'form copy': 'copy of the form',
}

/** A kind of event as what a person is about to record. */
export function recordWords(kind: EventKind): string {
  return PRESSED[kind] ?? kindWords(kind)
}
