import type { Clock } from '@/lib/hold/clock'
import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { findDeviations } from './deviation'
import { eventKey } from './event'
import { readExtension } from './extension'
import type { History } from './history'
import { isCounted, type PlacedEvent } from './placing'
import { readAcceptedTime } from './reading'
import type { Kit, Register } from './register'

/** Something about a sample's events that a person should look at. Nothing flagged is left out of the count. */
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
    | 'ruling settles nothing'
  /** A sentence on what was found. */
  detail: string
  /** Keys of the events it is about. */
  events: string[]
}

interface Flaggable {
  kit: Kit
  product: string | null
  history: History
  events: readonly PlacedEvent[]
  clocks: readonly Clock[]
}

/** What a person should look at in a sample's events. */
export function findFlags(sample: Flaggable, register: Register): Flag[] {
  return [
    ...findEventFlags(sample, register),
    ...findOrderFlags(sample.history.milestones),
    ...findProductFlags(sample, register),
    ...findMissingFlags(sample),
    ...findRulingFlags(sample),
  ]
}

function findEventFlags({ kit, events, clocks }: Flaggable, register: Register): Flag[] {
  const flags: Flag[] = []
  for (const placed of events) {
    const { event } = placed
    const flag = (kind: Flag['kind'], detail: string) =>
      flags.push({ kind, detail, events: [eventKey(event)] })
    if (placed.isLooping)
      flag(
        'loop of corrections',
        'This event and others correct each other in a loop, so none of them corrects anything.',
      )
    if (placed.correctedBy.length > 0) continue
    if (placed.isAhead)
      flag('ahead of now', `The reported time of "${event.kind}" is still to come; it counts from then on.`)
    if (event.latestAt < kit.issuedAt)
      flag('before its kit', `"${event.kind}" is dated before the kit was issued.`)
    if (event.place !== null && event.place !== kit.plant && event.place !== kit.laboratory)
      flag(
        'another place',
        `"${event.kind}" was reported at ${event.place}, which is neither the kit's plant nor its laboratory; days are counted at those all the same.`,
      )
    if (event.kind === 'extended') {
      const extension = readExtension(event, register.getZone(event.place), readAcceptedTime)
      if ('limit' in extension && !clocks.some((clock) => clock.limit.name === extension.limit))
        flag(
          'unknown limit',
          `The extension names the limit "${extension.limit}", which this sample's protocol does not have.`,
        )
    }
  }
  return flags
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
        detail: `Reports of "${milestone}" disagree on when it was; the clocks take the reading that is least in the sample's favour.`,
        events: keys(milestone),
      })
    // Not only the one just before: a date alone in between would hide a dispatch before the cut.
    const before = reported
      .slice(0, index)
      .findLast((other) => (reading?.latestAt ?? 0) < (milestones.get(other)?.earliestAt ?? 0))
    if (before)
      flags.push({
        kind: 'out of order',
        detail: `"${milestone}" is dated before "${before}".`,
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
        detail: `"${event.kind}" names the product ${event.product}; the sample is taken to be of ${product}${kit.product === null ? '' : ', as its kit says'}.`,
        events: [eventKey(event)],
      })
  }
  const lots = new Map(
    naming.filter(({ event }) => event.lot !== null).map(({ event }) => [event.lot, eventKey(event)]),
  )
  if (lots.size > 1)
    flags.push({
      kind: 'product differs',
      detail: `Its events name different lots: ${[...lots.keys()].sort().join(', ')}.`,
      events: [...lots.values()].sort(),
    })
  if (product !== null && register.findProduct(kit.plant, product) === null)
    flags.push({
      kind: 'product unknown',
      detail: `The register has no product ${product}, so no hold limit is known.`,
      events: naming.map(({ event }) => eventKey(event)),
    })
  return flags
}

function findRulingFlags({ events }: Flaggable): Flag[] {
  return findDeviations(events).idle.map(({ key, fault }) => ({
    kind: 'ruling settles nothing',
    detail:
      fault === 'on nothing'
        ? 'A ruling names no deviation of this sample that counts; record it again on the one that is meant.'
        : 'A ruling does not say to use the sample, to use it with a note, or to cut again; record it again.',
    events: [key],
  }))
}

function findMissingFlags({ history, clocks }: Flaggable): Flag[] {
  const missing = new Set(
    clocks
      .filter((clock) => clock.isNotReported)
      .flatMap(({ limit }) => [limit.from, limit.to])
      .filter((milestone) => !history.milestones.has(milestone))
      .filter((milestone) => MILESTONE_ORDER[milestone] < MILESTONE_ORDER[history.stage ?? 'produced']),
  )
  return [...missing].map((milestone) => ({
    kind: 'not reported',
    detail: `"${milestone}" was not reported, though a later milestone was: ask when it happened.`,
    events: [],
  }))
}
