import type { Ending, Milestone } from '@/lib/hold/milestone'

/** Who has a part in a sample's way. */
export type Side = 'plant' | 'laboratory' | 'carrier' | 'programme'

/** What a form can ask about an event beside its time, in the order in which a form is read. */
export const ASKED_FIELDS = [
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

export type AskedField = (typeof ASKED_FIELDS)[number]

/** All that is particular to one kind of event, but for what it does to a sample. */
export interface EventKindRow {
  /** Whose word it is. By hand a plant and a laboratory record their own, and an administrator records any. */
  saidBy: readonly Side[]
  /** The end on whose clocks a person gives its time. */
  clock: 'plant' | 'laboratory'
  /** Whether it takes place at that end. */
  isThere: boolean
  /** What its form asks for, in this order. */
  asks: readonly AskedField[]
  /** The sentence beside a field that a person left empty. A product is needed only where its kit names none. */
  needs?: Partial<Record<AskedField, string>>
  /** What every report needs beside its time, by hand or not: the event it corrects, or the facts of an extension. */
  requires?: 'corrects' | 'extension'
  /** Its name in a list of what has happened. */
  happened: string
  /** Its name on the button that records it, where that differs. */
  toRecord?: string
}

const MILESTONE_KINDS: Record<Milestone, EventKindRow> = {
  produced: {
    saidBy: ['plant'],
    clock: 'plant',
    isThere: true,
    asks: ['product', 'lot', 'note'],
    happened: 'made',
  },
  collected: {
    saidBy: ['plant'],
    clock: 'plant',
    isThere: true,
    asks: ['product', 'lot', 'note'],
    needs: { product: 'This is a spare kit: choose the product that was cut.' },
    happened: 'cut',
  },
  sealed: {
    saidBy: ['plant'],
    clock: 'plant',
    isThere: true,
    asks: ['note'],
    happened: 'sealed',
  },
  dispatched: {
    saidBy: ['plant'],
    clock: 'plant',
    isThere: true,
    asks: ['service', 'waybill', 'note'],
    needs: { service: 'Choose the carrier’s service.' },
    happened: 'handed over',
  },
  delivered: {
    saidBy: ['carrier'],
    clock: 'laboratory',
    isThere: true,
    asks: ['note'],
    happened: 'delivered',
    toRecord: 'delivered by the carrier',
  },
  received: {
    saidBy: ['laboratory'],
    clock: 'laboratory',
    isThere: true,
    asks: ['seal', 'temperature', 'note'],
    happened: 'received',
  },
  conditioned: {
    saidBy: ['laboratory'],
    clock: 'laboratory',
    isThere: true,
    asks: ['note'],
    happened: 'conditioning begun',
  },
  loaded: {
    saidBy: ['laboratory'],
    clock: 'laboratory',
    isThere: true,
    asks: ['note'],
    happened: 'in the chamber',
    toRecord: 'loaded into the chamber',
  },
  reported: {
    saidBy: ['laboratory'],
    clock: 'laboratory',
    isThere: true,
    asks: ['note'],
    happened: 'reported',
    toRecord: 'report issued',
  },
}

const ENDING_KINDS: Record<Ending, EventKindRow> = {
  lost: {
    saidBy: ['carrier'],
    clock: 'plant',
    isThere: false,
    asks: ['reason'],
    happened: 'lost',
    toRecord: 'given up as lost',
  },
  returned: {
    saidBy: ['carrier', 'plant'],
    clock: 'plant',
    isThere: true,
    asks: ['reason'],
    happened: 'returned',
  },
  rejected: {
    saidBy: ['laboratory'],
    clock: 'laboratory',
    isThere: true,
    asks: ['reason'],
    needs: { reason: 'Say why it was rejected.' },
    happened: 'rejected at receipt',
    toRecord: 'rejected',
  },
  cancelled: {
    saidBy: ['plant'],
    clock: 'plant',
    isThere: true,
    asks: ['reason'],
    happened: 'cancelled',
  },
}

const OTHER_KINDS = {
  scanned: {
    saidBy: ['carrier'],
    clock: 'plant',
    isThere: false,
    asks: ['note'],
    happened: 'seen on the way',
  },
  held: {
    saidBy: ['carrier'],
    clock: 'plant',
    isThere: false,
    asks: ['by', 'note'],
    happened: 'held on the way',
  },
  'customs cleared': {
    saidBy: ['carrier'],
    clock: 'plant',
    isThere: false,
    asks: ['note'],
    happened: 'cleared by customs',
  },
  withdrawn: {
    // Whoever may report what it takes out: it has no form of its own.
    saidBy: [],
    clock: 'plant',
    isThere: false,
    asks: [],
    requires: 'corrects',
    happened: 'a report withdrawn',
  },
  extended: {
    saidBy: ['programme'],
    clock: 'laboratory',
    isThere: false,
    asks: ['limit', 'untilDate', 'untilTime', 'reason'],
    needs: {
      limit: 'Choose the limit that is extended.',
      untilDate: 'Say until when.',
      reason: 'Say why.',
    },
    requires: 'extension',
    happened: 'limit extended',
    toRecord: 'extend a limit',
  },
  deviation: {
    saidBy: ['laboratory'],
    clock: 'laboratory',
    isThere: true,
    asks: ['what'],
    needs: { what: 'Say what was found.' },
    happened: 'deviation found',
    toRecord: 'something found wrong',
  },
  ruling: {
    saidBy: ['programme'],
    clock: 'plant',
    isThere: false,
    asks: ['on', 'ruling', 'reason'],
    needs: { on: 'Choose the deviation that this is about.', reason: 'Say why.' },
    happened: 'ruling',
    toRecord: 'rule on a deviation',
  },
  'form copy': {
    saidBy: ['plant'],
    clock: 'plant',
    isThere: true,
    asks: ['note'],
    happened: 'copy of the form',
  },
  'replaced by': {
    saidBy: ['programme'],
    clock: 'plant',
    isThere: false,
    asks: ['kit', 'reason'],
    happened: 'replaced by another kit',
  },
} satisfies Record<string, EventKindRow>

/** Every kind of event that can be reported: milestones in the order of life, endings, and others that are neither. */
export const KINDS: Record<Milestone | Ending | keyof typeof OTHER_KINDS, EventKindRow> = {
  ...MILESTONE_KINDS,
  ...ENDING_KINDS,
  ...OTHER_KINDS,
}
