import { type Calendar, calendarOf, USUAL_WORKDAYS } from '@/lib/hold/calendar'
import { parseDay } from '@/lib/hold/zone'
import type { ShutdownContent } from './owedContents'
import { type PlantContent, WEEKDAYS } from './registerDocument'

interface Version<T> {
  /** ms UTC. */
  holdsFromAt: number
  content: T
}

/**
 * The days on which a plant cuts and hands over, in its zone, from every version of its entry and of each of its
 * shutdowns (null: taken out). As with a laboratory's, days already past when a version came keep what held then.
 */
export function plantCalendar(
  zone: string,
  plant: readonly Version<PlantContent>[],
  shutdowns: readonly (readonly Version<ShutdownContent | null>[])[],
): Calendar {
  const turns = new Set([...plant, ...shutdowns.flat()].map(({ holdsFromAt }) => holdsFromAt))
  return calendarOf(
    zone,
    [...turns].map((holdsFromAt) => {
      const entry = (inForce(plant, holdsFromAt) ?? plant[0])?.content
      const closed = shutdowns.flatMap((versions) => daysOf(inForce(versions, holdsFromAt)?.content ?? null))
      return { weekdays: workdaysOf(entry), closed: new Set(closed), holdsFromAt }
    }),
  )
}

function workdaysOf(plant: PlantContent | undefined): ReadonlySet<number> {
  const named = plant?.workdays ?? []
  return named.length === 0 ? USUAL_WORKDAYS : new Set(named.map((day) => WEEKDAYS.indexOf(day)))
}

/** The last that was entered of the versions that hold at `at`. */
function inForce<T>(versions: readonly Version<T>[], at: number): Version<T> | undefined {
  let found: Version<T> | undefined
  for (const version of versions)
    if (version.holdsFromAt <= at && (!found || version.holdsFromAt >= found.holdsFromAt)) found = version
  return found
}

function daysOf(shutdown: ShutdownContent | null): number[] {
  if (shutdown === null) return []
  const [first, last] = [parseDay(shutdown.from) as number, parseDay(shutdown.to) as number]
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => first + index)
}
