import { EVENT_KINDS, type EventKind, isEventKind, type NamedReporter } from '@/lib/custody/event'
import { type Message, message } from '@/lib/messages/message'
import { handSource, isHandSource } from './handSource'
import { isRestricted, listSideKinds, mayReport, mayReportSomewhere, type SampleEnds } from './mayReport'
import { hasRole, ROLE_NAMES, ROLES } from './personRoles'
import { type ApiKey, getScope, type Person, type Principal } from './principal'
import { includesPlant } from './scope'

/** Why a reporter may not send an event: the field as a JSON pointer, the fault, and its cure. */
export interface ReportingFault {
  pointer: string
  detail: Message
  right: Message
}

/**
 * Why a principal may not report an event, regardless of its sample. Rights to the sample are checked where events are
 * placed: there, a foreign sample gets the same answer as an unknown one.
 */
export function findReportingFault(
  principal: Principal,
  event: { source: string; kind: string },
): ReportingFault | null {
  return principal.kind === 'key' ? findKeyFault(principal, event) : findPersonFault(principal, event)
}

function findKeyFault(
  key: ApiKey,
  { source, kind }: { source: string; kind: string },
): ReportingFault | null {
  if (isHandSource(source) || !key.sources.includes(source))
    return {
      pointer: '/source',
      detail: message('reporting.keySource', { source }),
      right: message('reporting.fix.keySource', { sources: key.sources.join(', ') }),
    }
  const kinds = listReportableKinds(key)
  if (isEventKind(kind) && kinds.includes(kind)) return null
  return {
    pointer: '/kind',
    detail: message('reporting.keyKind', { kind }),
    right: message('reporting.fix.keyKind', { kinds: kinds.join(', ') }),
  }
}

function findPersonFault(
  person: Person,
  { source, kind }: { source: string; kind: string },
): ReportingFault | null {
  const kinds = listReportableKinds(person)
  if (kinds.length === 0)
    return {
      pointer: '/kind',
      detail: message('reporting.noRole'),
      right: message('reporting.fix.noRole'),
    }
  const own = handSource(person)
  if (source !== own && (!person.roles.isAdministrator || isHandSource(source)))
    return {
      pointer: '/source',
      detail: message('reporting.personSource', { source }),
      right: message('reporting.fix.personSource', { source: own }),
    }
  if (isEventKind(kind) && kinds.includes(kind)) return null
  const named = kinds.filter((one) => one !== 'withdrawn')
  return {
    pointer: '/kind',
    detail: message('reporting.personKind', { kind }),
    right: message('reporting.fix.personKind', { kinds: named.join(', ') }),
  }
}

/**
 * The one permission to act on a sample's record: whether a principal may report events of a kind of it, and so correct them, take
 * them out, or move them between samples of which that holds. Pages, forms, events, corrections, moves and keys all ask it; the
 * ledger asks the same of the rights that it keeps with each event.
 * @param ends of the sample; null: a kit or a consignment that is not known yet.
 */
export function may(principal: Principal, kind: EventKind, ends: SampleEnds | null): boolean {
  return mayReport(getReporter(principal), kind, ends)
}

/** The kinds that a principal may report for at least some samples. */
export function listReportableKinds(principal: Principal): readonly EventKind[] {
  const rights = getReporter(principal)
  return EVENT_KINDS.filter((kind) => mayReportSomewhere(rights, kind))
}

/** Whether a principal's `reportedAt` is believed. Forecasts are scored by it, so not everyone may set it. */
export function isReportedAtTrusted(principal: Principal): boolean {
  return principal.kind === 'key' && principal.mayImportHistory
}

/** Whether a principal may know that a plant of this code exists, and its zone. */
export function mayKnowPlant(principal: Principal, code: string): boolean {
  if (principal.kind === 'person') return includesPlant(getScope(principal), code)
  return !isRestricted(getReporter(principal)) || (principal.plants ?? []).includes(code)
}

/** Whether a principal may send the register. It is sent whole, so a key of some places may not. */
export function maySetRegister(principal: Principal): boolean {
  if (principal.kind === 'person') return principal.roles.isAdministrator
  return principal.maySetRegister && !isRestricted(getReporter(principal))
}

/** The rights of a principal, as they are kept with each event that it reports. */
export function getReporter(principal: Principal): NamedReporter {
  const by = `${principal.kind} ${principal.id}`
  if (principal.kind === 'person') {
    const { roles } = principal
    const { plants, laboratories, isAdministrator } = roles
    const sides = ROLE_NAMES.filter((role) => hasRole(roles, role)).flatMap((role) => ROLES[role].side ?? [])
    return { by, sides, kinds: isAdministrator ? EVENT_KINDS : null, plants, laboratories }
  }
  const { sides, kinds, plants, laboratories, mayImportHistory } = principal
  if (!mayImportHistory) return { by, sides, kinds, plants, laboratories }
  // Others told it what it imports, so it speaks for none of them.
  return { by, sides: null, kinds: kinds ?? [...new Set(sides.flatMap(listSideKinds))], plants, laboratories }
}
