import type { EventKind } from '@/lib/custody/event'

/** The fields of the form in which a person records an event; all are texts, empty where nothing is said. */
export const HAND_FIELDS = [
  'kind',
  'date',
  'time',
  'product',
  'lot',
  'service',
  'waybill',
  'seal',
  'temperature',
  'what',
  'on',
  'ruling',
  'limit',
  'untilDate',
  'untilTime',
  'by',
  'kit',
  'reason',
  'note',
  'corrects',
] as const

export type HandField = (typeof HAND_FIELDS)[number]
export type HandForm = Record<HandField, string>

/** A form from what `get` has under each field's name. */
export function handFormOf(get: (field: HandField) => string | null | undefined): HandForm {
  return Object.fromEntries(HAND_FIELDS.map((field) => [field, (get(field) ?? '').trim()])) as HandForm
}

/** What a kind asks for beside its time. */
export const ASKED_OF: Record<EventKind, readonly HandField[]> = {
  produced: ['product', 'lot', 'note'],
  collected: ['product', 'lot', 'note'],
  sealed: ['note'],
  dispatched: ['service', 'waybill', 'note'],
  delivered: ['note'],
  received: ['seal', 'temperature', 'note'],
  conditioned: ['note'],
  loaded: ['note'],
  reported: ['note'],
  lost: ['reason'],
  returned: ['reason'],
  rejected: ['reason'],
  cancelled: ['reason'],
  scanned: ['note'],
  held: ['by', 'note'],
  withdrawn: ['reason'],
  extended: ['limit', 'untilDate', 'untilTime', 'reason'],
  deviation: ['what'],
  ruling: ['on', 'ruling', 'reason'],
  'form copy': ['note'],
  'replaced by': ['kit', 'reason'],
}

/** Where an event of a kind takes place; for those of no place, whose clocks its time is read on. */
export function placeOfKind(kind: EventKind): { end: 'plant' | 'laboratory'; isThere: boolean } {
  if (AT_PLANT.includes(kind)) return { end: 'plant', isThere: true }
  if (AT_LABORATORY.includes(kind)) return { end: 'laboratory', isThere: true }
  return { end: kind === 'extended' ? 'laboratory' : 'plant', isThere: false }
}

const AT_PLANT: readonly EventKind[] = [
  'produced',
  'collected',
  'sealed',
  'dispatched',
  'cancelled',
  'form copy',
  'returned',
]
const AT_LABORATORY: readonly EventKind[] = [
  'delivered',
  'received',
  'conditioned',
  'loaded',
  'reported',
  'rejected',
  'deviation',
]
