import { consignmentKey, eventKey, type ReadEvent, UNDONE_CHANGE } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { formatWithOffset } from '@/lib/custody/handTime'
import { toCanonical } from '@/lib/custody/kitCode'
import { english } from '@/lib/messages/english'
import { message } from '@/lib/messages/message'
import { handSource } from '@/lib/policy/handSource'
import { getScope, type Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { findOwnBox } from '@/lib/store/read/arrivals/keptBoxes'
import { findCorrected } from '@/lib/store/read/sample/eventForm'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { listFaultsOf } from './moveEvents'
import {
  acceptSubmission,
  createEventAuthor,
  findKnownSubmission,
  getWholeDossier,
  hashKey,
  MAX_PER_SUBMISSION,
  parseManualEvent,
} from './recordEvents'
import { reportAnew } from './reportAnew'
import type { Outcome, Submission } from './submission'
import { buildTakingBack } from './takeBackFault'

/**
 * Withdraws the events that a form names. If the form asks to restore, one that corrected another is undone: what it
 * corrected is reported anew, since an event that is out of the count stays out.
 */
export async function withdrawEvents(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.get('token')
  const samples = submission.getAll('sample').map(toCanonical)
  const keys = submission.getAll('event')
  const count = samples.length
  if (count === 0 || count !== keys.length || count > MAX_PER_SUBMISSION) return { kind: 'not found' }
  const reason = submission.get('reason').trim()
  const restores = submission.get('restore') === 'yes'
  const found: Withdrawal[] = []
  let lacksReason = false
  for (const [index, code] of samples.entries()) {
    const key = keys[index] as string
    const dossier = await getSampleDossier(getAppPool(), getScope(person), code, now)
    const placed = dossier?.sample.events.find(({ event }) => eventKey(event) === key)
    if (!dossier || !placed) {
      const box = await findOwnBox(getAppPool(), handSource(person), key, now)
      if (!box) return { kind: 'not found' }
      found.push({
        about: { place: box.place },
        key,
        zone: box.zone,
        isOut: !box.waits,
        former: null,
        faults: [],
      })
      continue
    }
    if (!may(person, placed.event.kind, dossier.sample.kit))
      return { kind: 'forbidden', detail: `You may not withdraw “${placed.event.kind}” of this sample.` }
    lacksReason ||= reason === '' && KINDS[placed.event.kind].isTakenOutWithReason === true
    if (restores && placed.event.source !== handSource(person))
      return { kind: 'forbidden', detail: 'Only whoever recorded this can undo it. Withdraw it instead.' }
    const isOut = placed.correctedBy.length > 0
    const whole = restores && !isOut ? await getWholeDossier(person, code, now) : null
    const event =
      whole && (await findCorrected(getAppPool(), getScope(person), placed.event, whole.sample.events, now))
    // What was said of a whole consignment and changed for one sample is said of that sample again.
    const ofConsignment = event && consignmentKey(event) !== null ? code : null
    const former = event && { event, sample: event.sample ?? ofConsignment }
    // What was moved or assigned here takes with it what it found here.
    const faults = former && former.sample !== code ? listFaultsOf([placed], dossier) : []
    found.push({ about: { sample: code }, key, zone: dossier.plant.zone, isOut, former, faults })
  }
  const known = await findKnownSubmission(person, token, now)
  if (known) return known
  if (found.every(({ isOut }) => isOut))
    return {
      kind: 'refused',
      faults: [{ field: 'corrects', detail: message('record.fault.takenOutAlready') }],
    }
  if (lacksReason)
    return { kind: 'refused', faults: [{ field: 'reason', detail: message('record.fault.noReason') }] }
  return acceptSubmission(
    person,
    {
      actor,
      token,
      what: found.some(({ former }) => former !== null) ? 'undid a change by hand' : 'withdrew by hand',
    },
    (register) =>
      found.flatMap(({ about, key, zone, former, faults }) => {
        const author = createEventAuthor(person, token, hashKey(key))
        if (former !== null) {
          const { event, sample } = former
          const facts = { [UNDONE_CHANGE]: 'yes' }
          const reason = english('record.undo.moved')
          return [
            reportAnew(event, { sample, corrects: key, facts }, author, register),
            ...faults.map((fault) => {
              const taking = { key: fault, code: about.sample ?? '', zone, reason }
              return buildTakingBack(taking, createEventAuthor(person, token, hashKey(fault)), register, now)
            }),
          ]
        }
        return parseManualEvent(
          {
            source: author.source,
            id: author.id,
            ...about,
            kind: 'withdrawn',
            at: formatWithOffset(zone, now),
            zone,
            corrects: key,
            facts: reason === '' ? undefined : { reason },
          },
          register,
        )
      }),
    now,
  )
}

interface Withdrawal {
  about: { sample: string; place?: undefined } | { place: string; sample?: undefined }
  key: string
  zone: string
  isOut: boolean
  /** What is reported anew in its place; null if it only goes. */
  former: { event: ReadEvent; sample: string | null } | null
  /** The keys of what it found where it does not belong. */
  faults: string[]
}
