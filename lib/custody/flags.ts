import { type Clock, getFirstDueAt, mayExtend } from '@/lib/hold/clock'
import { MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { type Message, message } from '@/lib/messages/message'
import { type EventKind, eventKey } from './event'
import { KINDS } from './eventKinds'
import { readExtension } from './extension'
import type { InvalidRuling } from './finding'
import type { History } from './history'
import { listMissingMilestones } from './missingMilestones'
import { isCounted, type PlacedEvent } from './placing'
import { readAcceptedTime } from './reading'
import type { Kit, Register } from './register'

/** Something odd about a sample's events that a person should look at. Flagged events still count. */
export interface Flag {
  kind:
    | 'ahead of now'
    | 'loop of corrections'
    | 'out of order'
    | 'before its kit'
    | 'another place'
    | 'reports disagree'
    | 'product differs'
    | 'product unknown'
    | 'not reported'
    | 'unknown limit'
    | 'extension without effect'
    | 'ruling settles nothing'
  detail: Message
  /** Keys of the events it is about. */
  events: string[]
}

interface Flaggable {
  kit: Kit
  product: string | null
  history: History
  events: readonly PlacedEvent[]
  clocks: readonly Clock[]
  invalidRulings: readonly InvalidRuling[]
}

export function findFlags(sample: Flaggable, register: Register): Flag[] {
  return [
    ...findEventFlags(sample, register),
    ...findOrderFlags(sample.history.milestones),
    ...findProductFlags(sample, register),
    ...findMissingFlags(sample),
    ...findRulingFlags(sample),
  ]
}

/** The name of a kind within a sentence. */
const nameKind = (kind: EventKind) => message(KINDS[kind].label)

function findEventFlags({ kit, events, clocks }: Flaggable, register: Register): Flag[] {
  const flags: Flag[] = []
  for (const placed of events) {
    const { event } = placed
    const name = nameKind(event.kind)
    const flag = (kind: Flag['kind'], detail: Message) =>
      flags.push({ kind, detail, events: [eventKey(event)] })
    if (placed.isLooping) flag('loop of corrections', message('flag.loop.detail'))
    if (placed.correctedBy.length > 0) continue
    if (placed.isAhead) flag('ahead of now', message('flag.ahead.detail', { event: name }))
    if (event.latestAt < kit.issuedAt)
      flag('before its kit', message('flag.beforeKit.detail', { event: name }))
    if (event.place !== null && event.place !== kit.plant && event.place !== kit.laboratory)
      flag('another place', message('flag.elsewhere.detail', { event: name, place: event.place }))
    if (event.kind === 'extended') {
      const extension = readExtension(event, register.getZone(event.place), readAcceptedTime)
      if (!('limit' in extension)) continue
      const { limit } = extension
      const clock = clocks.find((one) => one.limit.name === limit)
      if (!clock) flag('unknown limit', message('flag.unknownLimit.detail', { limit }))
      else if (clock.limit.extendable === false)
        flag('extension without effect', message('flag.notExtendable.detail', { limit }))
      else if (isTooLate(clock, event.earliestAt))
        flag('extension without effect', message('flag.extendedLate.detail', { limit }))
    }
  }
  return flags
}

function isTooLate(clock: Clock, grantedAt: number): boolean {
  const firstDueAt = getFirstDueAt(clock)
  return firstDueAt !== null && !mayExtend(clock.limit, firstDueAt, grantedAt)
}

function findOrderFlags(milestones: History['milestones']): Flag[] {
  const flags: Flag[] = []
  const reported = MILESTONES.filter((milestone) => milestones.has(milestone))
  const keys = (milestone: Milestone) => (milestones.get(milestone)?.events ?? []).map(eventKey)
  reported.forEach((milestone, index) => {
    const reading = milestones.get(milestone)
    if (reading?.isDisputed)
      flags.push({
        kind: 'reports disagree',
        detail: message('flag.disagree.detail', { event: nameKind(milestone) }),
        events: keys(milestone),
      })
    // Compares with all earlier ones: a date alone in between would hide a dispatch before the cut.
    const before = reported
      .slice(0, index)
      .findLast((other) => (reading?.latestAt ?? 0) < (milestones.get(other)?.earliestAt ?? 0))
    if (before)
      flags.push({
        kind: 'out of order',
        detail: message('flag.order.detail', { event: nameKind(milestone), earlier: nameKind(before) }),
        events: [...keys(before), ...keys(milestone)],
      })
  })
  return flags
}

function findProductFlags({ kit, product, events }: Flaggable, register: Register): Flag[] {
  const naming = events.filter(
    (one) => isCounted(one) && (one.event.kind === 'collected' || one.event.kind === 'produced'),
  )
  const flags: Flag[] = []
  for (const { event } of naming) {
    if (event.product !== null && product !== null && event.product !== product)
      flags.push({
        kind: 'product differs',
        detail: message(kit.product === null ? 'flag.product.event' : 'flag.product.kit', {
          event: nameKind(event.kind),
          named: event.product,
          product,
        }),
        events: [eventKey(event)],
      })
  }
  const lots = new Map(
    naming.filter(({ event }) => event.lot !== null).map(({ event }) => [event.lot, eventKey(event)]),
  )
  if (lots.size > 1)
    flags.push({
      kind: 'product differs',
      detail: message('flag.product.lots', { lots: [...lots.keys()].sort().join(', ') }),
      events: [...lots.values()].sort(),
    })
  if (product !== null && register.findProduct(kit.plant, product) === null)
    flags.push({
      kind: 'product unknown',
      detail: message('flag.unknownProduct.detail', { product }),
      events: naming.map(({ event }) => eventKey(event)),
    })
  return flags
}

function findRulingFlags({ invalidRulings }: Flaggable): Flag[] {
  return invalidRulings.map(({ key, fault }) => ({
    kind: 'ruling settles nothing',
    detail: message(fault === 'on nothing' ? 'flag.ruling.onNothing' : 'flag.ruling.unclear'),
    events: [key],
  }))
}

function findMissingFlags({ history, clocks }: Flaggable): Flag[] {
  return listMissingMilestones(clocks, new Set(history.milestones.keys())).map((milestone) => ({
    kind: 'not reported',
    detail: message('flag.notReported.detail', { event: nameKind(milestone) }),
    events: [],
  }))
}
