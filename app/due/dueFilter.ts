import { hasToAct } from '@/lib/judgement/hasToAct'
import type { Person } from '@/lib/policy/principal'
import type { Actor } from '@/lib/schedule/act'

/** By whom it is to be done, as the address names them. */
export const DOERS = ['me', 'programme', 'plant', 'laboratory'] as const
export type DoerName = (typeof DOERS)[number]

/** What of the work due is looked at; null: all of it. */
export interface DueFilter {
  plant: string | null
  by: DoerName | null
}

type Named = (name: string) => string | null | undefined

/** The filter that an address or a form names. What cannot be used of one written by hand is left out. */
export function dueFilter(named: Named): DueFilter {
  const plant = (named('plant') ?? '').trim().slice(0, 100)
  return { plant: plant === '' ? null : plant, by: DOERS.find((one) => one === named('by')) ?? null }
}

/** The part of an address that names a filter, with whatever else it is to say: "?plant=OMB1". */
export function dueAddress({ plant, by }: DueFilter, more: Record<string, string> = {}): string {
  const known = Object.entries({ plant, by, ...more }).flatMap(([name, value]) =>
    value === null ? [] : [[name, value]],
  )
  return known.length === 0 ? '/due' : `/due?${new URLSearchParams(known)}`
}

/** Whether something of a plant, to be done by someone, is looked at. */
export function isLookedAt({ plant, by }: DueFilter, of: string, actor: Actor, person: Person): boolean {
  if (plant !== null && plant !== of) return false
  return by === null || (by === 'me' ? hasToAct(actor, person.roles) : actor.by === by)
}
