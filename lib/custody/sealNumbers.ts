import { message } from '@/lib/messages/message'
import { CONDITION, type Condition, type ConditionFault, type ConditionRules } from './condition'
import { compareByTime } from './history'
import { toCanonical } from './kitCode'
import { isCounted, type PlacedEvent } from './placing'
import { readTextFact } from './textFact'

/** The numbers of the seals that were put on a sample, as its plant told them, in the order of time: when it was sealed, and sealed again. */
export function listSealNumbers(placed: readonly PlacedEvent[]): string[] {
  return placed
    .filter((one) => isCounted(one) && (one.event.kind === 'sealed' || one.event.kind === 'deviation'))
    .map(({ event }) => event)
    .sort(compareByTime)
    .flatMap((event) => readTextFact(event, 'sealNumber') ?? [])
}

/**
 * The faults of a condition with what its seal's number shows: another than any that was put on is a fault of the seal, whatever else
 * is wrong with it. Numbers compare like kit codes. Without a number on either side nothing is shown.
 */
export function addSealNumberFault(
  faults: readonly ConditionFault[],
  { seal, sealNumber }: Condition,
  numbers: readonly string[],
  rules: ConditionRules,
): readonly ConditionFault[] {
  if (sealNumber === undefined || numbers.length === 0 || seal === 'missing' || seal === 'other number')
    return faults
  if (numbers.some((one) => toCanonical(one) === toCanonical(sealNumber))) return faults
  const values = { told: sealNumber, number: numbers.at(-1) as string }
  const differing = {
    part: 'seal',
    value: 'other number',
    fault: 'seal',
    grade: rules.grades?.seal ?? CONDITION.seal.grade,
    what: message(seal === 'broken' ? 'finding.seal.brokenAndDiffers' : 'finding.seal.differs', values),
  } as const
  return [differing, ...faults.filter(({ fault }) => fault !== 'seal')]
}
