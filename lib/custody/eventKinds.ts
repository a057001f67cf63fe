import type { Ending, Milestone } from '@/lib/hold/milestone'

/** Who has a part in a sample's way. */
export type Side = 'plant' | 'laboratory' | 'carrier' | 'programme'

/** What a form can ask about an event beside its time, in the order in which a form is read. */
export const EVENT_FIELDS = [
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
] as const

export type EventField = (typeof EVENT_FIELDS)[number]

/** All that is particular to one kind of event, but for what it does to a sample. */
export interface EventKindRow {
  /** Whose word it is. By hand a plant and a laboratory record their own, and an administrator records any. */
  reportedBy: readonly Side[]
  /** The end on whose clocks a person gives its time. */
  zoneOwner: 'plant' | 'laboratory'
  /** Whether it takes place at that end. */
  isOnSite: boolean
  /** What its form asks for, in this order. */
  fields: readonly EventField[]
  /** The sentence beside a field that a person left empty. A product is needed only where its kit names none. */
  requiredFields?: Partial<Record<EventField, string>>
  /** What every report needs beside its time, by hand or not: the event it corrects, or the facts of an extension. */
  requiredContent?: 'corrects' | 'extension'
  /** Its name in a list of what has happened. */
  label: string
  /** Its name on the button that records it, where that differs. */
  actionLabel?: string
}

const MILESTONE_KINDS: Record<Milestone, EventKindRow> = {
  produced: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['product', 'lot', 'note'],
    label: 'made',
  },
  collected: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['product', 'lot', 'note'],
    requiredFields: { product: 'This is a spare kit: choose the product that was cut.' },
    label: 'cut',
  },
  sealed: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['note'],
    label: 'sealed',
  },
  dispatched: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['service', 'waybill', 'note'],
    requiredFields: { service: 'Choose the carrier’s service.' },
    label: 'handed over',
  },
  delivered: {
    reportedBy: ['carrier'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'delivered',
    actionLabel: 'delivered by the carrier',
  },
  received: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['seal', 'temperature', 'note'],
    label: 'received',
  },
  conditioned: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'conditioning begun',
  },
  loaded: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'in the chamber',
    actionLabel: 'loaded into the chamber',
  },
  reported: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['note'],
    label: 'reported',
    actionLabel: 'report issued',
  },
}

const ENDING_KINDS: Record<Ending, EventKindRow> = {
  lost: {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['reason'],
    label: 'lost',
    actionLabel: 'given up as lost',
  },
  returned: {
    reportedBy: ['carrier', 'plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['reason'],
    label: 'returned',
  },
  rejected: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['reason'],
    requiredFields: { reason: 'Say why it was rejected.' },
    label: 'rejected at receipt',
    actionLabel: 'rejected',
  },
  cancelled: {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['reason'],
    label: 'cancelled',
  },
}

const OTHER_KINDS = {
  scanned: {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['note'],
    label: 'seen on the way',
  },
  held: {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['by', 'note'],
    label: 'held on the way',
  },
  'customs cleared': {
    reportedBy: ['carrier'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['note'],
    label: 'cleared by customs',
  },
  withdrawn: {
    // Whoever may report what it takes out: it has no form of its own.
    reportedBy: [],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: [],
    requiredContent: 'corrects',
    label: 'a report withdrawn',
  },
  extended: {
    reportedBy: ['programme'],
    zoneOwner: 'laboratory',
    isOnSite: false,
    fields: ['limit', 'untilDate', 'untilTime', 'reason'],
    requiredFields: {
      limit: 'Choose the limit that is extended.',
      untilDate: 'Say until when.',
      reason: 'Say why.',
    },
    requiredContent: 'extension',
    label: 'limit extended',
    actionLabel: 'extend a limit',
  },
  deviation: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['what'],
    requiredFields: { what: 'Say what was found.' },
    label: 'deviation found',
    actionLabel: 'something found wrong',
  },
  ruling: {
    reportedBy: ['programme'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['on', 'ruling', 'reason'],
    requiredFields: { on: 'Choose the deviation that this is about.', reason: 'Say why.' },
    label: 'ruling',
    actionLabel: 'rule on a deviation',
  },
  'form copy': {
    reportedBy: ['plant'],
    zoneOwner: 'plant',
    isOnSite: true,
    fields: ['note'],
    label: 'copy of the form',
  },
  'replaced by': {
    reportedBy: ['programme'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['kit', 'reason'],
    label: 'replaced by another kit',
  },
} satisfies Record<string, EventKindRow>

/** Every kind of event that can be reported: milestones in the order of life, endings, and others that are neither. */
export const KINDS: Record<Milestone | Ending | keyof typeof OTHER_KINDS, EventKindRow> = {
  ...MILESTONE_KINDS,
  ...ENDING_KINDS,
  ...OTHER_KINDS,
}
