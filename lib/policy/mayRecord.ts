import { EVENT_KINDS, type EventKind } from '@/lib/custody/event'
import { KINDS, type Side } from '@/lib/custody/eventKinds'
import { hasRole, ROLE_NAMES, ROLES } from './personRoles'
import type { Person, Roles } from './principal'

/** The programme may report every kind. */
function mayReport(side: Side, kind: EventKind): boolean {
  return side === 'programme' || KINDS[kind].reportedBy.includes(side)
}

/** The codes of the places where a sample is cut and tested. */
export interface SampleEnds {
  plant: string
  laboratory: string
}

/**
 * The permission to record this kind of event by hand: an administrator may record every kind, others what their side
 * reports at their own place. The same right covers correcting and withdrawing it.
 */
export function mayRecord({ roles }: Person, kind: EventKind, ends: SampleEnds): boolean {
  return ROLE_NAMES.some((role) => {
    const { placeKind, side, getPlaces } = ROLES[role]
    const place = placeKind === null ? '' : ends[placeKind]
    return side !== null && mayReport(side, kind) && getPlaces(roles).includes(place)
  })
}

/** The kinds that these roles may report for at least some samples; null: every kind. */
export function listReportableKinds(roles: Roles): readonly EventKind[] | null {
  const sides = ROLE_NAMES.filter((role) => hasRole(roles, role)).flatMap((role) => ROLES[role].side ?? [])
  if (sides.includes('programme')) return null
  return EVENT_KINDS.filter((kind) => sides.some((side) => mayReport(side, kind)))
}

/** Whether a person may move events to another kit. */
export function mayMove(person: Person): boolean {
  return person.roles.isAdministrator
}

const HAND_PREFIX = 'hand '

/** The id of the person who reports under this source by hand; null for any other source. */
export function getHandPersonId(source: string): string | null {
  return source.startsWith(HAND_PREFIX) ? source.slice(HAND_PREFIX.length) : null
}

/** Whether a source is, or looks like, one for reports by hand. Keys may not use such a source. */
export function isHandSource(source: string): boolean {
  return /^\s*hand(\s|$)/i.test(source.normalize('NFKC'))
}
