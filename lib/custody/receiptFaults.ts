import { type ConditionFault, type ConditionRules, hasRange, listFaults, readCondition } from './condition'
import { eventKey, type ReadEvent } from './event'
import { joinFindingKey } from './findingKey'
import { compareByTime } from './history'
import { isCounted, type PlacedEvent } from './placing'
import type { LimitsInForce } from './register'
import { addSealNumberFault, listSealNumbers } from './sealNumbers'
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
  const sealNumbers = listSealNumbers(placed)
  return listReceipts(placed).flatMap(({ event }) =>
    judgeCondition(event, versions, sealNumbers).flatMap(({ fault, grade, what, value }): Telling[] => {
      const key = joinFindingKey(eventKey(event), fault)
      if (takenBack.has(key)) return []
      return [{ key, same: `#${fault} ${value}`, grade, what, at: event.earliestAt }]
    }),
  )
}

/**
 * The faults of one receipt, by the version of the protocol in force when it was received. `sealNumbers`: those that its plant put
 * on.
 */
export function judgeCondition(
  receipt: ReadEvent,
  versions: readonly LimitsInForce[],
  sealNumbers: ReturnType<typeof listSealNumbers> = [],
): readonly ConditionFault[] {
  const rules = findRules(versions, receipt.earliestAt)
  return addSealNumberFault(listFaults(readCondition(receipt.facts), rules), receipt, sealNumbers, rules)
}

/**
 * The temperature (°C) that the latest of a sample's counted receipts to tell one gives although the protocol neither says now which
 * are right nor did then, so that nobody can tell whether it was a fault; null if there is none.
 */
export function findUnjudgedTemperature(
  placed: readonly PlacedEvent[],
  versions: readonly LimitsInForce[],
  now: number,
): number | null {
  if (hasRange(findRules(versions, now))) return null
  const temperatures = listReceipts(placed)
    .filter(isCounted)
    .map(({ event }) => event)
    .sort(compareByTime)
    .map((receipt) => getUnjudgedTemperature(receipt, versions))
  return temperatures.findLast((one) => one !== null) ?? null
}

/** The temperature (°C) that a receipt gives if the protocol did not say then which are right, else null. */
export function getUnjudgedTemperature(
  { facts, earliestAt }: ReadEvent,
  versions: readonly LimitsInForce[],
): number | null {
  if (versions.length === 0 || hasRange(findRules(versions, earliestAt))) return null
  return readCondition(facts).temperature ?? null
}

/** Those whose time has come and that tell something. */
function listReceipts(placed: readonly PlacedEvent[]): PlacedEvent[] {
  return placed.filter(({ event, isAhead }) => event.kind === 'received' && event.facts !== null && !isAhead)
}

function findRules(versions: readonly LimitsInForce[], at: number): ConditionRules {
  return (versions.findLast((version) => version.holdsFromAt <= at) ?? versions[0])?.condition ?? {}
}
