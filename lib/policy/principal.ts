import type { Side } from '@/lib/custody/eventKinds'
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

/** A machine with an API key. */
export interface ApiKey {
  kind: 'key'
  id: string
  name: string
  /** The sources it may report under. */
  sources: readonly string[]
  /** The sides it speaks for: one, but a key that was made for plants and laboratories before keys had sides has both. */
  sides: readonly Side[]
  /** The kinds that were named for it; null: those of its sides. */
  kinds: readonly string[] | null
  /** The plants for which it speaks; null on another side. */
  plants: readonly string[] | null
  /** The laboratories for which it speaks; null on another side. */
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
