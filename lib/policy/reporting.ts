import type { NamedReporter } from '@/lib/custody/event'
import { type Message, message } from '@/lib/messages/message'
import { isHandSource, listReportableKinds } from './mayRecord'
import { getScope, type Person, type Principal } from './principal'
import { includesPlant } from './scope'

/** Why a reporter may not send an event: the field as a JSON pointer, the fault, and its cure. */
export interface ReportingFault {
  pointer: string
  detail: Message
  right: Message
}

/** The source under which a person reports by hand. No key and no other person may use it. */
export function handSource(person: Pick<Person, 'id'>): string {
  return `hand ${person.id}`
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
  key: { sources: readonly string[]; kinds: readonly string[] | null },
  { source, kind }: { source: string; kind: string },
): ReportingFault | null {
  if (isHandSource(source) || !key.sources.includes(source))
    return {
      pointer: '/source',
      detail: message('reporting.keySource', { source }),
      right: message('reporting.fix.keySource', { sources: key.sources.join(', ') }),
    }
  if (key.kinds !== null && !key.kinds.includes(kind))
    return {
      pointer: '/kind',
      detail: message('reporting.keyKind', { kind }),
      right: message('reporting.fix.keyKind', { kinds: key.kinds.join(', ') }),
    }
  return null
}

function findPersonFault(
  person: Person,
  { source, kind }: { source: string; kind: string },
): ReportingFault | null {
  const kinds: readonly string[] | null = listReportableKinds(person.roles)
  if (kinds?.length === 0)
    return {
      pointer: '/kind',
      detail: message('reporting.noRole'),
      right: message('reporting.fix.noRole'),
    }
  const own = handSource(person)
  if (source !== own && (kinds !== null || isHandSource(source)))
    return {
      pointer: '/source',
      detail: message('reporting.personSource', { source }),
      right: message('reporting.fix.personSource', { source: own }),
    }
  if (kinds === null || kind === 'withdrawn' || kinds.includes(kind)) return null
  return {
    pointer: '/kind',
    detail: message('reporting.personKind', { kind }),
    right: message('reporting.fix.personKind', { kinds: kinds.join(', ') }),
  }
}

/** Whether a principal's `reportedAt` is believed. Forecasts are scored by it, so not everyone may set it. */
export function isReportedAtTrusted(principal: Principal): boolean {
  return principal.kind === 'key' && principal.mayImportHistory
}

/** Whether a principal may know that a plant of this code exists, and its zone. */
export function mayKnowPlant(principal: Principal, code: string): boolean {
  if (principal.kind === 'person') return includesPlant(getScope(principal), code)
  const { plants, laboratories } = principal
  return plants === null ? laboratories === null : plants.includes(code)
}

/** Whether a principal may send the register. It is sent whole, so a key of some places may not. */
export function maySetRegister(principal: Principal): boolean {
  if (principal.kind === 'person') return principal.roles.isAdministrator
  return principal.maySetRegister && principal.plants === null && principal.laboratories === null
}

/** What a principal may report, and under which name. */
export function getReporter(principal: Principal): NamedReporter {
  const by = `${principal.kind} ${principal.id}`
  if (principal.kind === 'key') {
    const { kinds, plants, laboratories } = principal
    return { by, kinds, plants, laboratories }
  }
  const { plants, laboratories } = principal.roles
  const kinds = listReportableKinds(principal.roles)
  // Whoever may report every kind speaks for the programme and any place. Seeing everything is not enough.
  return { by, kinds, ...(kinds === null ? { plants: null, laboratories: null } : { plants, laboratories }) }
}
