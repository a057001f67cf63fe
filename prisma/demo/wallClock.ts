import { DAY, findInstants, getOffset, MINUTE } from '@/lib/hold/zone'

/** A local date, in days since 1970-01-01. */
export type LocalDay = number

/** The wall-clock time in `zone` at `at` (ms UTC), as if ms UTC. */
export function toWallTime(at: number, zone: string): number {
  return at + getOffset(at, zone)
}

/** The instant (ms UTC) of a local date and minutes since midnight in `zone`; the earlier one if there are two. */
export function toInstant(day: LocalDay, minutes: number, zone: string): number {
  return Math.min(...findInstants(day * DAY + Math.round(minutes) * MINUTE, zone).instants)
}

/** A local date as "YYYY-MM-DD". */
export function formatDate(day: LocalDay): string {
  return new Date(day * DAY).toISOString().slice(0, 10)
}

/** An instant (ms UTC) as RFC 3339 in whole seconds. */
export function formatUtc(at: number): string {
  return `${new Date(at).toISOString().slice(0, 19)}Z`
}
