import { EVENT_KINDS, type EventKind } from '@/lib/custody/event'
import { KINDS, type Side } from '@/lib/custody/eventKinds'
import { hasRole, ROLE_NAMES, ROLES } from './personRoles'
import type { Person, Roles } from './principal'

/** Whether a side says a kind by hand; the programme says any. */
function mayReport(side: Side, kind: EventKind): boolean {
  return side === 'programme' || KINDS[kind].reportedBy.includes(side)
}

/** Where a sample is cut and where it goes, by their codes. */
export interface SampleEnds {
  plant: string
  laboratory: string
}

/**
 * Whether a person may record an event of a kind of a sample by hand: an administrator every kind, others what is
 * their own to say at either end. Who may not record a kind may neither correct nor withdraw one.
 */
export function mayRecord({ roles }: Person, kind: EventKind, ends: SampleEnds): boolean {
  return ROLE_NAMES.some((role) => {
    const { placeKind: of, side: speaksFor, getPlaces: held } = ROLES[role]
    return (
      speaksFor !== null && mayReport(speaksFor, kind) && held(roles).includes(of === null ? '' : ends[of])
    )
  })
}

/** The kinds that someone with these roles may report of any sample at all, and so correct; null: every kind. */
export function listReportableKinds(roles: Roles): readonly EventKind[] | null {
  const sides = ROLE_NAMES.filter((role) => hasRole(roles, role)).flatMap((role) => ROLES[role].side ?? [])
  if (sides.includes('programme')) return null
  return EVENT_KINDS.filter((kind) => sides.some((side) => mayReport(side, kind)))
}

/** Whether a person may say that events belong to another kit than the one they name. */
export function mayMove(person: Person): boolean {
  return person.roles.isAdministrator
}

const HAND_PREFIX = 'hand '

/** The id of the person whose hand a source is; null where it is none. */
export function getHandPersonId(source: string): string | null {
  return source.startsWith(HAND_PREFIX) ? source.slice(HAND_PREFIX.length) : null
}

/** Whether a source stands for a person who reports by hand, however it is written. */
export function isHandSource(source: string): boolean {
  return /^\s*hand(\s|$)/i.test(source.normalize('NFKC'))
}
