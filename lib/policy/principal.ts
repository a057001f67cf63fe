import type { Roles } from './personRoles'
import { type Scope, toScope } from './scope'

export type { Roles }

/** A signed-in person. */
export interface Person {
  kind: 'person'
  id: string
  email: string
  name: string
  roles: Roles
}

/** A machine with an API key. `kinds`, `plants` and `laboratories` are null if nothing limits it. */
export interface ApiKey {
  kind: 'key'
  id: string
  name: string
  /** The sources it may report under. */
  sources: readonly string[]
  kinds: readonly string[] | null
  plants: readonly string[] | null
  laboratories: readonly string[] | null
  /** Its `reportedAt` is believed. */
  mayImportHistory: boolean
  maySetRegister: boolean
}

export type Principal = Person | ApiKey

export function getScope(principal: Principal): Scope {
  if (principal.kind === 'key')
    return { plants: principal.plants ?? [], laboratories: principal.laboratories ?? [] }
  return toScope(principal.roles)
}
