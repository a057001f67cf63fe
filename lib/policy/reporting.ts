import type { NamedReporter } from '@/lib/custody/event'
import { isHandSource, listReportableKinds } from './mayRecord'
import { getScope, type Person, type Principal } from './principal'
import { includesPlant } from './scope'

/** What is wrong with an event for its reporter: the field, what is wrong, and what would be right. */
export interface ReportingFault {
  pointer: string
  detail: string
  right: string
}

/** The source under which a person reports by hand. No key may speak for it, and no other person. */
export function handSource(person: Pick<Person, 'id'>): string {
  return `hand ${person.id}`
}

/**
 * What keeps a principal from reporting an event, whatever the programme holds: the answer is the same for every
 * sample. Whether it may speak of the sample is judged where events are placed, as if a foreign sample were unknown.
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
      detail: `The key does not speak for the source "${source}".`,
      right: `Report as ${key.sources.map((one) => `"${one}"`).join(' or ')}, or have a key made for this source.`,
    }
  if (key.kinds !== null && !key.kinds.includes(kind))
    return {
      pointer: '/kind',
      detail: `The key does not report "${kind}".`,
      right: `It reports ${key.kinds.join(', ')}.`,
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
      detail: 'Nothing that you are reports events.',
      right: 'Have an administrator give you a role that does, or someone who has one report it.',
    }
  const own = handSource(person)
  if (source !== own && (kinds !== null || isHandSource(source)))
    return {
      pointer: '/source',
      detail: `You do not speak for the source "${source}".`,
      right: `Report as "${own}".`,
    }
  if (kinds === null || kind === 'withdrawn' || kinds.includes(kind)) return null
  return {
    pointer: '/kind',
    detail: `"${kind}" is not yours to report.`,
    right: `You report ${kinds.join(', ')}, and withdraw what you may report.`,
  }
}

/** Whether a principal's `reportedAt` is believed: what a forecast is scored by may not be anybody's to set. */
export function isReportedAtTrusted(principal: Principal): boolean {
  return principal.kind === 'key' && principal.mayImportHistory
}

/** Whether a principal may know that there is a plant of this code, and in which zone. */
export function mayKnowPlant(principal: Principal, code: string): boolean {
  if (principal.kind === 'person') return includesPlant(getScope(principal), code)
  const { plants, laboratories } = principal
  return plants === null ? laboratories === null : plants.includes(code)
}

/** Whether a principal may send the register: it is all or nothing, so not with a key of some plants or laboratories. */
export function maySetRegister(principal: Principal): boolean {
  if (principal.kind === 'person') return principal.roles.isAdministrator
  return principal.maySetRegister && principal.plants === null && principal.laboratories === null
}

/** Of what a principal may report, and as whom. */
export function getReporter(principal: Principal): NamedReporter {
  const by = `${principal.kind} ${principal.id}`
  if (principal.kind === 'key') {
    const { kinds, plants, laboratories } = principal
    return { by, kinds, plants, laboratories }
  }
  const { plants, laboratories } = principal.roles
  const kinds = listReportableKinds(principal.roles)
  // Who reports every kind speaks for the programme, so of any place; to see all is not enough.
  return { by, kinds, ...(kinds === null ? { plants: null, laboratories: null } : { plants, laboratories }) }
}
