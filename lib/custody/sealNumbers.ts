import { message } from '@/lib/messages/message'
import { CONDITION, type ConditionFault, type ConditionRules, readCondition } from './condition'
import type { ReadEvent } from './event'
import { compareByTime } from './history'
import { toCanonical } from './kitCode'
import type { PlacedEvent } from './placing'
import { readTextFact } from './textFact'

/** The number of a seal that was put on a sample, and the event that tells it. */
interface SealNumber {
  event: ReadEvent
  told: string
  /** Numbers compare like kit codes. */
  canonical: string
}

/** The numbers of the seals that were put on a sample, as its plant told them, in the order of time: when it was sealed, and sealed again. */
export function listSealNumbers(placed: readonly PlacedEvent[]): SealNumber[] {
  return placed
    .map(({ event }) => event)
    .filter(({ kind }) => kind === 'sealed' || kind === 'deviation')
    .sort(compareByTime)
    .flatMap((event) => {
      const told = readTextFact(event, 'sealNumber') ?? ''
      const canonical = toCanonical(told)
      return canonical === '' ? [] : [{ event, told, canonical }]
    })
}

/**
 * Whether a number was known at a receipt: told by then, and of a time before. A correction adds a number and takes none away, so
 * that nobody can change afterwards what a receipt found.
 */
function wasKnownAt({ event }: SealNumber, receipt: ReadEvent): boolean {
  const { earliestAt, acceptedAt } = event
  if (earliestAt > receipt.earliestAt) return false
  return acceptedAt == null || receipt.acceptedAt == null || acceptedAt <= receipt.acceptedAt
}

/**
 * The faults of a receipt with what its seal's number shows: another than any that was put on is a fault of the seal, whatever else
 * is wrong with it. Without a number on either side nothing is shown.
 */
export function addSealNumberFault(
  faults: readonly ConditionFault[],
  receipt: ReadEvent,
  numbers: readonly SealNumber[],
  rules: ConditionRules,
): readonly ConditionFault[] {
  const { seal, sealNumber = '' } = readCondition(receipt.facts)
  const canonical = toCanonical(sealNumber)
  if (canonical === '' || seal === 'missing' || seal === 'other number') return faults
  const known = numbers.filter((one) => wasKnownAt(one, receipt))
  const last = known.at(-1)
  if (last === undefined || known.some((one) => one.canonical === canonical)) return faults
  const values = { told: sealNumber, number: last.told }
  const isBroken = seal === 'broken'
  const differing: ConditionFault = {
    part: 'seal',
    value: `${isBroken ? 'broken' : 'other'} ${canonical}`,
    fault: 'seal',
    grade: rules.grades?.seal ?? CONDITION.seal.grade,
    what: message(isBroken ? 'finding.seal.brokenAndDiffers' : 'finding.seal.differs', values),
  }
  return [differing, ...faults.filter(({ fault }) => fault !== 'seal')]
}
