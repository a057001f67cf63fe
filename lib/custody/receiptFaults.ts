import { type ConditionRules, hasRange, listFaults, readCondition } from './condition'
import { eventKey } from './event'
import { joinFindingKey } from './findingKey'
import { isCounted, type PlacedEvent } from './placing'
import type { LimitsInForce } from './register'
import type { Telling } from './telling'

/**
 * The faults that receipts tell, except those that were taken back. A receipt that is corrected or withdrawn still tells them:
 * whoever saw a broken seal has to say why there was none. `versions`: of the sample's protocol, earliest first; the one in force
 * at a receipt judges it.
 */
export function listReceiptFaults(
  placed: readonly PlacedEvent[],
  versions: readonly LimitsInForce[],
): Telling[] {
  const takenBack = new Set(placed.filter(isCounted).flatMap(({ takesBack }) => takesBack ?? []))
  return listReceipts(placed).flatMap(({ event }) => {
    const condition = readCondition(event.facts)
    return listFaults(condition, findRules(versions, event.earliestAt)).flatMap(
      ({ part, fault, grade, what }): Telling[] => {
        const key = joinFindingKey(eventKey(event), fault)
        if (takenBack.has(key)) return []
        return [{ key, same: `#${fault} ${condition[part]}`, grade, what, at: event.earliestAt }]
      },
    )
  })
}

/**
 * Whether a receipt gives a temperature although the protocol neither says now which are right nor did then, so that nobody can
 * tell whether it was a fault.
 */
export function isRangeMissing(
  placed: readonly PlacedEvent[],
  versions: readonly LimitsInForce[],
  now: number,
): boolean {
  if (versions.length === 0 || hasRange(findRules(versions, now))) return false
  return listReceipts(placed).some(
    (one) =>
      isCounted(one) &&
      readCondition(one.event.facts).temperature !== undefined &&
      !hasRange(findRules(versions, one.event.earliestAt)),
  )
}

/** Those whose time has come and that tell something. */
function listReceipts(placed: readonly PlacedEvent[]): PlacedEvent[] {
  return placed.filter(({ event, isAhead }) => event.kind === 'received' && event.facts !== null && !isAhead)
}

function findRules(versions: readonly LimitsInForce[], at: number): ConditionRules {
  return (versions.findLast((version) => version.holdsFromAt <= at) ?? versions[0])?.condition ?? {}
}
