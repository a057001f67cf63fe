import { type CustodyEvent, EVENT_KINDS, type EventKind, type Reporter } from '@/lib/custody/event'
import { KINDS, SIDES, type Side } from '@/lib/custody/eventKinds'
import { splitFaultKey } from '@/lib/custody/findingKey'

/** The codes of the places where a sample is cut and tested. */
export interface SampleEnds {
  plant: string
  laboratory: string
}

/**
 * Decisions about a sample. A person who holds the programme's role may report them; an API key only if its kinds are named
 * and these are among them.
 */
export const DECISIONS: readonly EventKind[] = ['extended', 'ruling']

/** Whether a kind is a decision, which has to be named for a key. */
export function isDecision(kind: string): boolean {
  return DECISIONS.some((decision) => decision === kind)
}

const SIDE_KINDS = new Map<Side, ReadonlySet<EventKind>>(
  SIDES.map((side) => {
    const isOwn = (kind: EventKind) => kind === 'withdrawn' || KINDS[kind].reportedBy.includes(side)
    const isProgrammes = (kind: EventKind) => !DECISIONS.includes(kind)
    return [side, new Set(EVENT_KINDS.filter(side === 'programme' ? isProgrammes : isOwn))]
  }),
)

/** The kinds that a side may report unless others are named: its own, and taking one back. The programme's are all but decisions. */
export function listSideKinds(side: Side): EventKind[] {
  return [...(SIDE_KINDS.get(side) ?? [])]
}

/**
 * Whether whoever has these rights may report a kind of a sample, and so take out an event of that kind.
 * @param rights null or absent: those of a file, which may report everything.
 * @param ends of the sample; null: a kit or a consignment that is not known yet. Who acts at some places only may not act there.
 */
export function mayReport(
  rights: Reporter | null | undefined,
  kind: EventKind,
  ends: SampleEnds | null,
): boolean {
  return rights == null || listReportingSides(rights, kind, ends).length > 0
}

/**
 * Whether whoever has these rights may take this event out. What either end may find is taken out by the end that found it, or by
 * the programme. What takes a fault back is taken out by those who may receive, since then the fault stands again.
 */
export function mayTakeOut(
  rights: Reporter | null | undefined,
  { kind, reporter, corrects }: Pick<CustodyEvent, 'kind' | 'reporter' | 'corrects'>,
  ends: SampleEnds | null,
): boolean {
  if (!mayReport(rights, kind, ends)) return false
  const takesFaultBack = kind === 'withdrawn' && corrects !== null && splitFaultKey(corrects) !== null
  if (takesFaultBack && !mayReport(rights, 'received', ends)) return false
  if (rights == null || reporter == null || KINDS[kind].zoneOwner !== 'reporter') return true
  const found = findReportingSide(reporter, kind, ends)
  const isOwn = (side: Side | null) => side === null || side === 'programme' || side === found
  return found === null || listReportingSides(rights, kind, ends).some(isOwn)
}

/**
 * The side for which someone reports this kind at these ends: the one whose kind it is, so that someone at both ends speaks for
 * the right one; null without a side, as for a file, and where they may not report it.
 */
export function findReportingSide(rights: Reporter, kind: EventKind, ends: SampleEnds | null): Side | null {
  const sides = listReportingSides(rights, kind, ends)
  return sides.find((side) => side !== null && KINDS[kind].reportedBy.includes(side)) ?? sides[0] ?? null
}

/** Whether a sample is theirs: they act at one of its ends, or for the programme. A carrier handles parcels, and has none. */
export function hasSample(rights: Reporter, ends: SampleEnds): boolean {
  return (rights.sides ?? [null]).some((side) => side !== 'carrier' && holdsPlace(rights, side, ends))
}

/** Whether someone acts at some plants or laboratories only. */
export function isRestricted(rights: Reporter): boolean {
  return !(rights.sides ?? [null]).some((side) => holdsPlace(rights, side, null))
}

/** Whether someone may report this kind of some sample, known or not. */
export function mayReportSomewhere(rights: Reporter, kind: EventKind): boolean {
  return (rights.sides ?? [null]).some((side) => mayReportKind(rights, side, kind))
}

/** The sides for which they may report it, in their order; [null] for a reporter of no side. */
function listReportingSides(rights: Reporter, kind: EventKind, ends: SampleEnds | null): (Side | null)[] {
  return (rights.sides ?? [null]).filter(
    (side) => mayReportKind(rights, side, kind) && holdsPlace(rights, side, ends),
  )
}

function mayReportKind({ kinds, sides }: Reporter, side: Side | null, kind: EventKind): boolean {
  if (kinds === null) return side === null || isKindOf(side, kind)
  if (!kinds.includes(kind)) return false
  // Named kinds of a reporter at both ends stay apart: each is its side's, unless it is neither's.
  const owners = (sides ?? []).filter((one) => isKindOf(one, kind))
  return side === null || owners.length === 0 || owners.includes(side)
}

function isKindOf(side: Side, kind: EventKind): boolean {
  return SIDE_KINDS.get(side)?.has(kind) ?? false
}

function holdsPlace({ plants, laboratories }: Reporter, side: Side | null, ends: SampleEnds | null): boolean {
  const isAtPlant = ends !== null && (plants ?? []).includes(ends.plant)
  const isAtLaboratory = ends !== null && (laboratories ?? []).includes(ends.laboratory)
  switch (side) {
    case 'plant':
      return isAtPlant
    case 'laboratory':
      return isAtLaboratory
    case null:
      return (plants === null && laboratories === null) || isAtPlant || isAtLaboratory
    default:
      return true
  }
}
