import type { EventKind } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'

/** A kind of event as what a person is about to record. */
export function recordWords(kind: EventKind): string {
  return KINDS[kind].toRecord ?? KINDS[kind].happened
}
