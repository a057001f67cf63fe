import { type Calendar, createCalendar, DEFAULT_WORKDAYS } from '@/lib/hold/calendar'
import { parseIsoDate } from '@/lib/hold/zone'
import { type PlantContent, WEEKDAYS } from './registerDocument'
import type { ShutdownContent } from './testingEntries'

interface Version<T> {
  /** ms UTC. */
  holdsFromAt: number
  content: T
}

/**
 * The days on which a plant cuts and hands over, in its zone, from all versions of its entry and of its shutdowns
 * (null: removed). Days that were past when a version came keep what held then, as in a laboratory's calendar.
 */
export function buildPlantCalendar(
  zone: string,
  plant: readonly Version<PlantContent>[],
  shutdowns: readonly (readonly Version<ShutdownContent | null>[])[],
): Calendar {
  const changeTimes = new Set([...plant, ...shutdowns.flat()].map(({ holdsFromAt }) => holdsFromAt))
  return createCalendar(
    zone,
    [...changeTimes].map((holdsFromAt) => {
      const entry = (findInForce(plant, holdsFromAt) ?? plant[0])?.content
      const closed = shutdowns.flatMap((versions) =>
        listDays(findInForce(versions, holdsFromAt)?.content ?? null),
      )
      return { weekdays: getWorkdays(entry), closed: new Set(closed), holdsFromAt }
    }),
  )
}

function getWorkdays(plant: PlantContent | undefined): ReadonlySet<number> {
  const named = plant?.workdays ?? []
  return named.length === 0 ? DEFAULT_WORKDAYS : new Set(named.map((day) => WEEKDAYS.indexOf(day)))
}

/** The last entered of the versions that hold at `at`. */
function findInForce<T>(versions: readonly Version<T>[], at: number): Version<T> | undefined {
  let found: Version<T> | undefined
  for (const version of versions)
    if (version.holdsFromAt <= at && (!found || version.holdsFromAt >= found.holdsFromAt)) found = version
  return found
}

function listDays(shutdown: ShutdownContent | null): number[] {
  if (shutdown === null) return []
  const [first, last] = [parseIsoDate(shutdown.from) as number, parseIsoDate(shutdown.to) as number]
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => first + index)
}
