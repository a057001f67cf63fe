import { listTakeable } from '@/app/samples/[code]/takeBackState'
import { formatWithOffset } from '@/lib/custody/handTime'
import type { Register } from '@/lib/custody/register'
import { message } from '@/lib/messages/message'
import { getScope, type Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import {
  acceptSubmission,
  createEventAuthor,
  findKnownSubmission,
  hashKey,
  type ParsedEvent,
  parseManualEvent,
} from './recordEvents'
import type { Outcome, Submission } from './submission'

/** Takes a fault of a sample's receipts back, however often it was told, with the reason why there was none. */
export async function takeBackFault(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.get('token')
  const dossier = await getSampleDossier(getAppPool(), getScope(person), submission.get('sample'), now)
  if (!dossier) return { kind: 'not found' }
  const { sample, plant } = dossier
  if (!may(person, 'received', sample.kit))
    return {
      kind: 'forbidden',
      detail: 'You may not take back what was found at the receipt of this sample.',
    }
  const known = await findKnownSubmission(person, token, now)
  if (known) return known
  const finding = sample.findings.find(({ keys }) => keys.includes(submission.get('fault')))
  const keys = finding === undefined ? [] : listTakeable(finding, sample)
  if (keys.length === 0) return { kind: 'not found' }
  const reason = submission.get('reason').trim()
  if (reason === '')
    return { kind: 'refused', faults: [{ field: 'reason', detail: message('record.fault.noReason') }] }
  return acceptSubmission(
    person,
    { actor, token, what: 'took a fault back', more: { reason } },
    (register) =>
      keys.map((key) => {
        const author = createEventAuthor(person, token, hashKey(key))
        return buildTakingBack(
          { key, code: sample.kit.code, zone: plant.zone, reason },
          author,
          register,
          now,
        )
      }),
    now,
  )
}

/** The event that takes a fault of one sample back. `zone`: the plant's. */
export function buildTakingBack(
  { key, code, zone, reason }: { key: string; code: string; zone: string; reason: string },
  { source, id }: { source: string; id: string },
  register: Register,
  now: number,
): ParsedEvent {
  return parseManualEvent(
    {
      source,
      id,
      sample: code,
      kind: 'withdrawn',
      at: formatWithOffset(zone, now),
      zone,
      corrects: key,
      facts: { reason },
    },
    register,
  )
}
