import type { EventKind, ReadEvent } from '@/lib/custody/event'
import { eventKey } from '@/lib/custody/event'
import { KINDS, type Side } from '@/lib/custody/eventKinds'
import { DAY } from '@/lib/hold/zone'
import type { Principal } from '@/lib/policy/principal'

/** The rules on who may report what, and for which samples it counts, written from the words of the design alone. */
export interface KitEnds {
  plant: string
  laboratory: string
  maker: string
}

/** An event in the ledger, with whoever sent it. */
export interface SentEvent {
  event: ReadEvent
  by: Principal
  acceptedAt: number
}

const isOfSide = (side: Side, kind: EventKind) =>
  kind === 'withdrawn' ||
  (side === 'programme' ? !['extended', 'ruling'].includes(kind) : KINDS[kind].reportedBy.includes(side))

/** A role and its place are one pair, and a side has its own kinds. */
function listPairs(by: Principal): { side: Side | null; place: (ends: KitEnds | null) => boolean }[] {
  const { plants, laboratories } = by.kind === 'person' ? by.roles : by
  const atPlant = (ends: KitEnds | null) => ends !== null && (plants ?? []).includes(ends.plant)
  const atLaboratory = (ends: KitEnds | null) =>
    ends !== null && (laboratories ?? []).includes(ends.laboratory)
  const everywhere = () => true
  if (by.kind === 'person')
    return [
      { side: 'plant', place: atPlant },
      { side: 'laboratory', place: atLaboratory },
      ...(by.roles.isAdministrator ? [{ side: 'programme' as const, place: everywhere }] : []),
    ]
  if (by.mayImportHistory) {
    const isLimited = plants !== null || laboratories !== null
    return [{ side: null, place: isLimited ? (ends) => atPlant(ends) || atLaboratory(ends) : everywhere }]
  }
  const places = { plant: atPlant, laboratory: atLaboratory, carrier: everywhere, programme: everywhere }
  return by.sides.map((side) => ({ side, place: places[side] }))
}

/** Whether someone may report a kind of a sample; null: of one that nobody knows. */
export function allows(by: Principal, kind: EventKind, ends: KitEnds | null): boolean {
  return listAllowedSides(by, kind, ends).length > 0
}

/** Whether someone may take an event out: a deviation, which either end may find, only for the end that found it. */
export function allowsTakingOut(
  by: Principal,
  { event, by: finder }: SentEvent,
  ends: KitEnds | null,
): boolean {
  const sides = listAllowedSides(by, event.kind, ends)
  if (event.kind !== 'deviation') return sides.length > 0
  const found = listAllowedSides(finder, event.kind, ends)
  const owner = found.find((side) => side === 'plant' || side === 'laboratory') ?? found[0] ?? null
  return sides.some((side) => owner === null || side === owner || side === 'programme' || side === null)
}

/** The sides for which someone may report a kind. */
function listAllowedSides(by: Principal, kind: EventKind, ends: KitEnds | null): (Side | null)[] {
  const pairs = listPairs(by).filter(({ side, place }) => {
    if (!place(ends)) return false
    if (by.kind === 'person') return side === 'programme' || isOfSide(side as Side, kind)
    if (by.kinds !== null) {
      const owners = by.sides.filter((own) => isOfSide(own, kind))
      return (
        by.kinds.includes(kind) && (side === null || owners.length === 0 || owners.includes(side as Side))
      )
    }
    return by.sides.some((own) => (side === null || own === side) && isOfSide(own, kind))
  })
  return pairs.map(({ side }) => side)
}

/** Whether a sample is theirs to see, so that a refusal tells them nothing. */
const sees = (by: Principal, ends: KitEnds) =>
  listPairs(by).some(({ side, place }) => side !== 'carrier' && place(ends))
const isEverywhere = (by: Principal) => listPairs(by).some(({ place }) => place(null))

interface Claim {
  sent: SentEvent
  ends: KitEnds
}

export class Oracle {
  constructor(
    private readonly ledger: readonly SentEvent[],
    private readonly kits: ReadonlyMap<string, KitEnds>,
    private readonly now: number,
  ) {}

  /** Whether it is refused: its sender sees the sample, or that of the event to take out, and may not report that kind of it. */
  isRefused({ event, by }: SentEvent): boolean {
    const isForbidden = ({ sample, kind }: ReadEvent) => {
      const ends = this.kits.get(sample ?? '')
      return ends !== undefined && sees(by, ends) && !allows(by, kind, ends)
    }
    const target = this.ledger.find((one) => eventKey(one.event) === event.corrects)
    const isPlaced =
      target !== undefined &&
      allows(target.by, target.event.kind, this.kits.get(target.event.sample ?? '') ?? null)
    const ends = this.kits.get(target?.event.sample ?? '')
    const mayNotTakeOut =
      target !== undefined && ends !== undefined && sees(by, ends) && !allowsTakingOut(by, target, ends)
    return (!isEverywhere(by) && isForbidden(event)) || (isPlaced && mayNotTakeOut)
  }

  /** Each sample with each event that is on it, marked if it is out of the count. */
  listPlaced(): string[] {
    return [...this.kits].flatMap(([code, ends]) =>
      this.ledger
        .filter((one) => this.isOn(one, code, ends))
        .map((one) => `${code} ${eventKey(one.event)}${this.isOut(one, code, ends) ? ' out' : ''}`),
    )
  }

  /** Events on no sample that are not put right by their own source or by one who may report everywhere. */
  listUnplaced(): string[] {
    return this.ledger
      .filter((one) => ![...this.kits].some(([code, ends]) => this.isOn(one, code, ends)))
      .filter((one) => !this.isOut(one, one.event.sample, null))
      .map(({ event }) => eventKey(event))
  }

  /** Claims that do not stand, of samples with no other near in time that does. */
  listWaitingClaims(): string[] {
    const claims = this.claims()
    const isServed = ({ sent: { event } }: { sent: SentEvent }) =>
      claims.some(
        (other) =>
          other.sent.event.sample === event.sample &&
          other.sent.event.waybill === event.waybill &&
          Math.abs(other.sent.event.earliestAt - event.earliestAt) <= 60 * DAY &&
          this.stands(other),
      )
    return claims
      .filter((claim) => !this.stands(claim) && !isServed(claim))
      .map(({ sent }) => eventKey(sent.event))
  }

  private isOn({ event, by }: SentEvent, code: string, ends: KitEnds): boolean {
    if (!allows(by, event.kind, ends)) return false
    if (event.sample !== null) return event.sample === code
    return this.claims().some((claim) => {
      const { event: sent } = claim.sent
      const isHandedOverByThem = allows(by, 'dispatched', ends) && !allows(by, 'dispatched', null)
      return (
        sent.sample === code &&
        sent.waybill === event.waybill &&
        Math.abs(sent.earliestAt - event.earliestAt) <= 60 * DAY &&
        (isHandedOverByThem || this.stands(claim))
      )
    })
  }

  private isOut(one: SentEvent, code: string | null, ends: KitEnds | null): boolean {
    return this.listCorrectors(one, code, ends).length > 0
  }

  /** What takes an event out, in the order of acceptance. */
  private listCorrectors(sent: SentEvent, code: string | null, ends: KitEnds | null): SentEvent[] {
    const { event } = sent
    const found = this.ledger.filter(
      ({ event: other, by }) =>
        other.corrects === eventKey(event) &&
        !this.isLooping(other) &&
        (event.sample !== null || other.sample === null || other.sample === code) &&
        (allowsTakingOut(by, sent, ends) || (ends === null && other.source === event.source)),
    )
    return found.sort(
      (a, b) => a.acceptedAt - b.acceptedAt || (eventKey(a.event) < eventKey(b.event) ? -1 : 1),
    )
  }

  private isLooping(event: ReadEvent): boolean {
    let next = event.corrects
    for (let steps = 0; next !== null && steps <= this.ledger.length; steps++) {
      if (next === eventKey(event)) return true
      next = this.ledger.find((one) => eventKey(one.event) === next)?.event.corrects ?? null
    }
    return false
  }

  /** A hand-over that names a waybill and is not ahead; null for anything else. */
  private toClaim(sent: SentEvent): Claim | null {
    const { sample, kind, waybill, earliestAt } = sent.event
    const ends = this.kits.get(sample ?? '')
    const isClaim = kind === 'dispatched' && waybill !== null && earliestAt <= this.now
    return ends && isClaim && allows(sent.by, kind, ends) ? { sent, ends } : null
  }

  /** Those that count, in the order in which they began. */
  private claims(): Claim[] {
    return this.ledger
      .flatMap((sent) => this.toClaim(sent) ?? [])
      .filter(({ sent, ends }) => !this.isOut(sent, sent.event.sample, ends))
      .map((claim) => ({ ...claim, begunAt: this.findBegin(claim, claim.sent.event.earliestAt) }))
      .sort((a, b) =>
        a.begunAt === b.begunAt
          ? eventKey(a.sent.event) < eventKey(b.sent.event)
            ? -1
            : 1
          : a.begunAt < b.begunAt
            ? -1
            : 1,
      )
  }

  /** Accepted, and not before the hand-over; with a claim of its maker that it was the first to replace, not after that one. */
  private findBegin({ sent, ends }: Claim, nearAt: number): number {
    const { event, acceptedAt } = sent
    if (this.isLooping(event)) return Number.POSITIVE_INFINITY
    const ownAt = Math.max(acceptedAt, event.earliestAt)
    const before = this.ledger.find((one) => eventKey(one.event) === event.corrects)
    const replaced = before && this.toClaim(before)
    if (!replaced) return ownAt
    const [first] = this.listCorrectors(replaced.sent, replaced.sent.event.sample, replaced.ends)
    const isFollowed =
      first === sent &&
      replaced.sent.event.waybill === event.waybill &&
      replaced.ends.maker === ends.maker &&
      Math.abs(replaced.sent.event.earliestAt - nearAt) <= 120 * DAY
    return isFollowed ? Math.min(ownAt, this.findBegin(replaced, nearAt)) : ownAt
  }

  /** The first claim of a maker stands; another maker's later one does if its sender hands over the first's sample as well. */
  private stands(claim: Claim): boolean {
    const { event, by } = claim.sent
    if (allows(by, 'dispatched', null)) return true
    const claims = this.claims()
    const before = claims.slice(
      0,
      claims.findIndex(({ sent }) => sent === claim.sent),
    )
    return !before.some(
      (first) =>
        first.sent.event.waybill === event.waybill &&
        first.ends.maker !== claim.ends.maker &&
        Math.abs(first.sent.event.earliestAt - event.earliestAt) <= 120 * DAY &&
        !allows(by, 'dispatched', first.ends) &&
        this.stands(first),
    )
  }
}
