import type { Ending, Milestone } from '@/lib/hold/milestone'
import type { PlainMessageKey } from '@/lib/messages/message'

/** Who reports on a sample. */
export const SIDES = ['plant', 'laboratory', 'carrier', 'programme'] as const
export type Side = (typeof SIDES)[number]

/** What a form can ask about an event besides its time, in the order of the form. */
export const EVENT_FIELDS = [
  'product',
  'lot',
  'service',
  'waybill',
  'condition',
  'what',
  'sealNumber',
  'openFor',
  'on',
  'ruling',
  'limit',
  'untilDate',
  'untilTime',
  'by',
  'kit',
  'reason',
  'note',
] as const

export type EventField = (typeof EVENT_FIELDS)[number]

/** The end of a sample to which a place belongs. */
export type PlaceOwner = 'plant' | 'laboratory'

/** Everything particular to one kind of event, except its effect on a sample. */
export interface EventKindRow {
  /** Who reports it. By hand, plants and laboratories record their own kinds, and an administrator records any. */
  reportedBy: readonly Side[]
  /** The place in whose zone a person gives the time; the reporter's own where both ends report it. */
  zoneOwner: PlaceOwner | 'reporter'
  /** Whether it happens at that place. */
  isOnSite: boolean
  /** In the order of the form. */
  fields: readonly EventField[]
  /** What to say if a person leaves the field empty. A product is required only for a spare kit. */
  requiredFields?: Partial<Record<EventField, PlainMessageKey>>
  /**
   * What every report needs besides its time, by hand or not: the event it corrects, or the facts of an extension.
   */
  requiredContent?: 'corrects' | 'extension'
  /** It may name neither a kit nor a consignment, but its place: a box without a readable code, and a report of one taken back. */
  mayNameNoKit?: true
  /** It holds a sample or lets it go on, so whoever takes it out by hand says why. */
  isTakenOutWithReason?: true
  /** Its name in a list of events. */
  label: PlainMessageKey
  /** Its name on the button that records it, if different. */
  actionLabel?: PlainMessageKey
}

const MILESTONE_KINDS: Record<Milestone, EventKindRow> = {
  produced: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['product', 'lot', 'note'],
    label: 'event.produced.label',
  },
  collected: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['product', 'lot', 'note'],
    requiredFields: { product: 'event.collected.productMissing' },
    label: 'event.collected.label',
  },
  sealed: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['sealNumber', 'note'],
    label: 'event.sealed.label',
  },
  dispatched: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['service', 'waybill', 'note'],
    requiredFields: { service: 'event.dispatched.serviceMissing' },
    label: 'event.dispatched.label',
  },
  delivered: {
    reportedBy: ['carrier'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'event.delivered.label',
    actionLabel: 'event.delivered.action',
  },
  received: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['condition', 'note'],
    mayNameNoKit: true,
    label: 'event.received.label',
  },
  conditioned: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'event.conditioned.label',
  },
  loaded: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'event.loaded.label',
    actionLabel: 'event.loaded.action',
  },
  reported: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'event.reported.label',
    actionLabel: 'event.reported.action',
  },
}

const ENDING_KINDS: Record<Ending, EventKindRow> = {
  lost: {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['reason'],
    label: 'event.lost.label',
    actionLabel: 'event.lost.action',
  },
  returned: {
    reportedBy: ['carrier', 'plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['reason'],
    label: 'event.returned.label',
  },
  rejected: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['reason'],
    requiredFields: { reason: 'event.rejected.reasonMissing' },
    label: 'event.rejected.label',
    actionLabel: 'event.rejected.action',
  },
  cancelled: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['reason'],
    label: 'event.cancelled.label',
  },
}

const OTHER_KINDS = {
  scanned: {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['note'],
    label: 'event.scanned.label',
  },
  held: {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['by', 'untilDate', 'untilTime', 'note'],
    label: 'event.held.label',
  },
  'customs cleared': {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['note'],
    label: 'event.customsCleared.label',
  },
  withdrawn: {
    // Whoever may report the other event may withdraw it; it has no form of its own.
    reportedBy: [],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: [],
    requiredContent: 'corrects',
    mayNameNoKit: true,
    label: 'event.withdrawn.label',
  },
  extended: {
    reportedBy: ['programme'],
    zoneOwner: 'laboratory',
    isOnSite: false,
    fields: ['limit', 'untilDate', 'untilTime', 'reason'],
    requiredFields: {
      limit: 'event.extended.limitMissing',
      untilDate: 'event.extended.untilDateMissing',
      reason: 'event.ruling.reasonMissing',
    },
    requiredContent: 'extension',
    label: 'event.extended.label',
    actionLabel: 'event.extended.action',
  },
  deviation: {
    reportedBy: ['plant', 'laboratory'],
    zoneOwner: 'reporter',
    isOnSite: true,
    fields: ['what', 'sealNumber', 'openFor'],
    requiredFields: { what: 'event.deviation.whatMissing' },
    isTakenOutWithReason: true,
    label: 'event.deviation.label',
    actionLabel: 'event.deviation.action',
  },
  ruling: {
    reportedBy: ['programme'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['on', 'ruling', 'reason'],
    requiredFields: { on: 'event.ruling.onMissing', reason: 'event.ruling.reasonMissing' },
    isTakenOutWithReason: true,
    label: 'event.ruling.label',
    actionLabel: 'event.ruling.action',
  },
  'form copy': {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['note'],
    label: 'event.formCopy.label',
  },
  'replaced by': {
    reportedBy: ['programme'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['kit', 'reason'],
    label: 'event.replacedBy.label',
  },
} satisfies Record<string, EventKindRow>

/** Every kind of event: milestones in the order of life, endings, then the others. */
export const KINDS: Record<Milestone | Ending | keyof typeof OTHER_KINDS, EventKindRow> = {
  ...MILESTONE_KINDS,
  ...ENDING_KINDS,
  ...OTHER_KINDS,
}

/** The end in whose zone, and at whose place, someone who speaks for `side` reports a kind. */
export function getPlaceOwner(kind: keyof typeof KINDS, side: Side | null): PlaceOwner {
  const { zoneOwner } = KINDS[kind]
  if (zoneOwner !== 'reporter') return zoneOwner
  return side === 'plant' ? 'plant' : 'laboratory'
}
