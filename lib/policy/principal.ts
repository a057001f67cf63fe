import type { Roles } from './personRoles'
import { type Scope, toScope } from './scope'

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
export interface ApiKey {
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

export type Principal = Person | ApiKey

/** What a principal may see of the samples. */
export function getScope(principal: Principal): Scope {
  if (principal.kind === 'key')
    return { plants: principal.plants ?? [], laboratories: principal.laboratories ?? [] }
  return toScope(principal.roles)
}
