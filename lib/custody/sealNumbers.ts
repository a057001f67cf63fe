import { message } from '@/lib/messages/message'
import { CONDITION, type Condition, type ConditionFault, type ConditionRules } from './condition'
import type { ReadEvent } from './event'
import { compareByTime } from './history'
import { toCanonical } from './kitCode'
import type { PlacedEvent } from './placing'
import { readTextFact } from './textFact'

/**
 * The numbers of the seals that were put on a sample, in the order of time, as was known when it was received: told by then, and of
 * a time before. A correction adds a number and takes none away, so that nobody can change afterwards what a receipt found.
 */
export function listSealNumbers(placed: readonly PlacedEvent[], receipt: ReadEvent): string[] {
  const wasKnown = ({ earliestAt, acceptedAt }: ReadEvent) =>
    earliestAt <= receipt.earliestAt &&
    (acceptedAt == null || receipt.acceptedAt == null || acceptedAt <= receipt.acceptedAt)
  return placed
    .map(({ event }) => event)
    .filter((event) => (event.kind === 'sealed' || event.kind === 'deviation') && wasKnown(event))
    .sort(compareByTime)
    .flatMap((event) => readTextFact(event, 'sealNumber') ?? [])
    .filter((number) => toCanonical(number) !== '')
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
  const isTold = sealNumber !== undefined && toCanonical(sealNumber) !== ''
  if (!isTold || numbers.length === 0 || seal === 'missing' || seal === 'other number') return faults
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
