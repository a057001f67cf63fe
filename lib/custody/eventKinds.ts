import type { Ending, Milestone } from '@/lib/hold/milestone'
import type { MessageKey } from '@/lib/messages/message'

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

type EventMessageKey = Extract<MessageKey, `event.${string}`>

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
  requiredFields?: Partial<Record<EventField, EventMessageKey>>
  /** What every report needs beside its time, by hand or not: the event it corrects, or the facts of an extension. */
  requiredContent?: 'corrects' | 'extension'
  /** Its name in a list of what has happened. */
  label: EventMessageKey
  /** Its name on the button that records it, where that differs. */
  actionLabel?: EventMessageKey
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
    fields: ['note'],
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
    fields: ['seal', 'temperature', 'note'],
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
    fields: ['by', 'note'],
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
    // Whoever may report what it takes out: it has no form of its own.
    reportedBy: [],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: [],
    requiredContent: 'corrects',
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
      reason: 'event.extended.reasonMissing',
    },
    requiredContent: 'extension',
    label: 'event.extended.label',
    actionLabel: 'event.extended.action',
  },
  deviation: {
    reportedBy: ['laboratory'],
    zoneOwner: 'laboratory',
    isOnSite: true,
    fields: ['what'],
    requiredFields: { what: 'event.deviation.whatMissing' },
    label: 'event.deviation.label',
    actionLabel: 'event.deviation.action',
  },
  ruling: {
    reportedBy: ['programme'],
    zoneOwner: 'plant',
    isOnSite: false,
    fields: ['on', 'ruling', 'reason'],
    requiredFields: { on: 'event.ruling.onMissing', reason: 'event.ruling.reasonMissing' },
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

/** Every kind of event that can be reported: milestones in the order of life, endings, and others that are neither. */
export const KINDS: Record<Milestone | Ending | keyof typeof OTHER_KINDS, EventKindRow> = {
  ...MILESTONE_KINDS,
  ...ENDING_KINDS,
  ...OTHER_KINDS,
}
