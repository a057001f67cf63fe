import type { Register } from '@/lib/custody/register'
import { type BodyFormat, MOST_ITEMS } from '@/lib/intake/formats/body'
import { type IntakeItem, readEvents, refusedItem } from '@/lib/intake/formats/readEvents'
import type { Principal } from '@/lib/policy/principal'
import { isHistoryBelieved, mayKnowPlant, reportingFault } from '@/lib/policy/reporting'

const NOT_BELIEVED =
  '`reportedAt` was left out: it is taken only from a key that may import history. The time of receipt here counts.'

/**
 * Reads a body of events as its reporter may send them: what it may not report is refused item by item, and the zone
 * of a plant that it may not know of is as that of none.
 */
export function readEventsOf(
  principal: Principal,
  text: string,
  format: BodyFormat,
  register: Register,
): IntakeItem[] {
  const zoneOf = (code: string | null) =>
    code !== null && (register.laboratories.has(code) || mayKnowPlant(principal, code))
      ? register.zoneOfPlace(code)
      : null
  return readEvents(text, format, zoneOf, MOST_ITEMS).map((item) => {
    if (item.event === null) return item
    const fault = reportingFault(principal, item.event)
    if (fault) return refusedItem(item, [fault])
    if (item.event.reportedAt === null || isHistoryBelieved(principal)) return item
    return { ...item, event: { ...item.event, reportedAt: null }, note: NOT_BELIEVED }
  })
}
