import { findConditionProblems } from '@/lib/custody/condition'
import type { CustodyEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { readExtension } from '@/lib/custody/extension'
import { splitFaultKey } from '@/lib/custody/findingKey'
import { message } from '@/lib/messages/message'
import type { FieldFault } from './problem'

/** What an event lacks or has wrong of what its kind asks for, beyond what every event has. */
export function findContentFaults(event: CustodyEvent, placeZone: string | null): FieldFault[] {
  const faults = findConditionFaults(event)
  switch (KINDS[event.kind].requiredContent) {
    case undefined:
      return faults
    case 'corrects':
      return [...faults, ...findWithdrawalFaults(event)]
    case 'extension': {
      const extension = readExtension(event, placeZone)
      if (!('detail' in extension)) return faults
      return [...faults, { pointer: '/facts', detail: extension.detail, right: extension.right }]
    }
  }
}

function findConditionFaults({ kind, facts }: CustodyEvent): FieldFault[] {
  const given = facts?.condition
  if (kind !== 'received' || given === undefined || given === null || given === '') return []
  return findConditionProblems(given).map(({ part, detail, right }) => ({
    pointer: part === null ? '/facts/condition' : `/facts/condition/${part}`,
    detail,
    right,
  }))
}

/** A fault is taken back of one sample, since a receipt may be of several, and with a reason, since nothing else says why. */
function findWithdrawalFaults({ corrects, sample, facts }: CustodyEvent): FieldFault[] {
  if (corrects === null)
    return [
      {
        pointer: '/corrects',
        detail: message('intake.noCorrects'),
        right: message('intake.fix.noCorrects'),
      },
    ]
  if (splitFaultKey(corrects) === null) return []
  const faults: FieldFault[] = []
  if (sample === null)
    faults.push({
      pointer: '/sample',
      detail: message('intake.noSampleOfFault'),
      right: message('intake.fix.noSampleOfFault'),
    })
  if (typeof facts?.reason !== 'string' || facts.reason.trim() === '')
    faults.push({
      pointer: '/facts/reason',
      detail: message('intake.noReason'),
      right: message('intake.fix.noReason'),
    })
  return faults
}
