import type { Roles } from '@/lib/custody/personRoles'
import type { Reporting, Scope } from '@/lib/store'
import { toScope } from '@/lib/store/scope'
import { kindsReportedAs } from './mayRecord'

export type { Roles }

/** Someone signed in. */
export interface Person {
  kind: 'person'
  id: string
  email: string
  name: string
  roles: Roles
}

/** A machine with an API key, and what it may report; null where nothing limits it. */
export interface Key {
  kind: 'key'
  id: string
  name: string
  /** The sources that it may speak for. */
  sources: readonly string[]
  kinds: readonly string[] | null
  plants: readonly string[] | null
  laboratories: readonly string[] | null
  /** Its `reportedAt` is believed. */
  mayImportHistory: boolean
  /** It may send the register. */
  maySetRegister: boolean
}

export type Principal = Person | Key

/** What a principal may see of the samples. */
export function scopeOf(principal: Principal): Scope {
  if (principal.kind === 'key')
    return { plants: principal.plants ?? [], laboratories: principal.laboratories ?? [] }
  return toScope(principal.roles)
}

/** Of what a principal may report, and as whom. */
export function reportingOf(principal: Principal): Reporting {
  const by = `${principal.kind} ${principal.id}`
  if (principal.kind === 'key') {
    const { kinds, plants, laboratories } = principal
    return { by, kinds, plants, laboratories }
  }
  const { plants, laboratories } = principal.roles
  const kinds = kindsReportedAs(principal.roles)
  // Who reports every kind speaks for the programme, so of any place; to see all is not enough.
  return { by, kinds, ...(kinds === null ? { plants: null, laboratories: null } : { plants, laboratories }) }
}
