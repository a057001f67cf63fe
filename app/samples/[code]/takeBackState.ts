import { eventKey } from '@/lib/custody/event'
import type { Finding } from '@/lib/custody/finding'
import { splitFaultKey } from '@/lib/custody/findingKey'
import type { SampleWithEvents } from '@/lib/custody/sample'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import type { Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'

/** Which faults a person can take back, and the form for one of them. */
export interface TakeBackState {
  /** The keys of the findings. */
  keys: ReadonlySet<string>
  /** The keys of the receipts that tell them. */
  receipts: ReadonlySet<string>
  /** The finding whose form is shown. */
  key: string | null
  reason: string
  faults: readonly FormFault[]
}

/** The tellings of a finding that can be taken back: all of a fault's, and none of anything else. */
export function listTakeable({ keys }: Finding, { events }: SampleWithEvents): string[] {
  const isEvent = (key: string) => events.some(({ event }) => eventKey(event) === key)
  return keys.filter((key) => splitFaultKey(key) !== null && !isEvent(key))
}

/** `one`: a value of the page's address. */
export function readTakeBackState(
  sample: SampleWithEvents,
  person: Person,
  one: (name: string) => string,
): TakeBackState {
  const takeable = may(person, 'received', sample.kit)
    ? sample.findings.filter((finding) => listTakeable(finding, sample).length > 0)
    : []
  const key = takeable.find((finding) => finding.key === one('fault'))?.key ?? null
  const reason = one('why')
  const isRefused = one('typed') === 'yes' && reason.trim() === ''
  return {
    keys: new Set(takeable.map((finding) => finding.key)),
    receipts: new Set(
      takeable.flatMap((finding) =>
        listTakeable(finding, sample).flatMap((told) => splitFaultKey(told)?.receipt ?? []),
      ),
    ),
    key,
    reason,
    faults: isRefused ? [{ field: 'reason', detail: message('record.fault.noReason') }] : [],
  }
}
