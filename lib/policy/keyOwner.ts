import type { Side } from '@/lib/custody/eventKinds'
import { type Message, message } from '@/lib/messages/message'
import type { KeyFault } from './keyRights'
import type { ApiKey } from './principal'

/** For whom a key speaks: a side with its places, a carrier's feed, or the programme. */
export type KeyOwner = Pick<ApiKey, 'sides' | 'plants' | 'laboratories'>

/** A key, as others that want its sources see it. */
export interface SourceKey extends KeyOwner, Pick<ApiKey, 'name' | 'sources'> {
  /** ms UTC, as all times of keys; null: never. */
  expiresAt: number | null
  revokedAt: number | null
  /** Unless null, its sources may have ids. */
  lastUsedAt: number | null
}

/** Whether two keys speak for the same. Two of carriers do: the source itself names the feed. */
export function hasSameOwner(one: KeyOwner, other: KeyOwner): boolean {
  return serializeOwner(one) === serializeOwner(other)
}

/** Whether a key works at `now`. */
export function isActiveKey(
  { revokedAt, expiresAt }: Pick<SourceKey, 'revokedAt' | 'expiresAt'>,
  now: number,
): boolean {
  return revokedAt === null && (expiresAt === null || expiresAt > now)
}

/**
 * Why a key may not have one of its sources; null if it may. Keys that share a source learn each other's ids, and whoever uses an
 * id first keeps the other's event out, so a source has one owner: that of the active keys that speak for it. Where only former
 * keys did, it is free for whoever had one too, and for whoever has all their places.
 */
export function findSourceFault(
  key: KeyOwner & Pick<ApiKey, 'sources'>,
  others: readonly SourceKey[],
  now: number,
): KeyFault | null {
  const isHolder = (other: SourceKey) => isActiveKey(other, now) || other.lastUsedAt !== null
  for (const source of key.sources) {
    const keys = others.filter(({ sources }) => sources.includes(source))
    const holder = keys.find((other) => isActiveKey(other, now) && !hasSameOwner(other, key))
    const isKnown = keys.some((other) => isHolder(other) && hasSameOwner(other, key))
    const former = keys.find((other) => isHolder(other) && !includesOwner(key, other))
    const found = holder ?? (isKnown ? undefined : former)
    if (!found) continue
    const values = { source, name: found.name, owner: describeOwner(found) }
    const detail = holder
      ? message('keys.fault.sourceTaken', values)
      : message('keys.fault.sourceUsed', values)
    return { field: 'sources', detail }
  }
  return null
}

/** The sources of which active keys of more than one owner speak, from before a source had one owner. */
export function findSharedSources<K extends SourceKey>(
  keys: readonly K[],
  now: number,
): { source: string; keys: K[] }[] {
  const active = keys.filter((key) => isActiveKey(key, now))
  return [...new Set(active.flatMap(({ sources }) => sources))]
    .map((source) => ({ source, keys: active.filter(({ sources }) => sources.includes(source)) }))
    .filter(({ keys: [first, ...rest] }) => first && rest.some((other) => !hasSameOwner(first, other)))
}

/** For whom a key speaks, in words. */
export function describeOwner(owner: KeyOwner): Message {
  const [first = message('keys.owner.none'), second] = owner.sides.map((side) => describeSide(owner, side))
  return second ? message('keys.owner.both', { first, second }) : first
}

function describeSide(owner: KeyOwner, side: Side): Message {
  if (side === 'carrier') return message('keys.owner.carrier')
  if (side === 'programme') return message('keys.owner.programme')
  const codes = listPlaces(owner, side)
  if (codes.length === 0) return message('keys.owner.none')
  const values = { count: codes.length, places: codes.join(', ') }
  return side === 'plant' ? message('keys.owner.plant', values) : message('keys.owner.laboratory', values)
}

/** Whether someone speaks for all for whom another speaks, on the same sides. */
function includesOwner(owner: KeyOwner, other: KeyOwner): boolean {
  const isSameSides = hasSameOwner(
    { ...other, plants: null, laboratories: null },
    { ...owner, plants: null, laboratories: null },
  )
  return (
    isSameSides &&
    other.sides.every((side) => {
      const places = new Set(listPlaces(owner, side))
      return listPlaces(other, side).every((code) => places.has(code))
    })
  )
}

function serializeOwner(owner: KeyOwner): string {
  return JSON.stringify([...owner.sides].sort().map((side) => [side, listPlaces(owner, side)]))
}

/** The places of a key on one of its sides, each once and sorted. */
function listPlaces({ plants, laboratories }: KeyOwner, side: Side): string[] {
  const places = side === 'plant' ? plants : side === 'laboratory' ? laboratories : null
  return [...new Set(places)].sort()
}
