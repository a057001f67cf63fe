import { findMoveFaults } from '@/app/samples/[code]/findMoveFaults'
import { listTakeable } from '@/app/samples/[code]/takeBackState'
import { consignmentKey, eventKey, isOfUnknownBox, type ReadEvent } from '@/lib/custody/event'
import { splitFaultKey } from '@/lib/custody/findingKey'
import { toCanonical } from '@/lib/custody/kitCode'
import { canBeMoved, isCounted, type PlacedEvent } from '@/lib/custody/placing'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import { getScope, type Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { getSampleDossier, type SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { findUnplacedEvent } from '@/lib/store/read/unplaced/unplacedEvents'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import {
  acceptSubmission,
  createEventAuthor,
  findKnownSubmission,
  getWholeDossier,
  hashKey,
} from './recordEvents'
import { reportAnew } from './reportAnew'
import type { Outcome, Submission } from './submission'
import { buildTakingBack } from './takeBackFault'

function describeMove(event: ReadEvent, reason: string): Record<string, string> {
  const from = getOrigin(event)
  return { ...(from === null ? {} : { 'moved from': from }), 'moved because': reason }
}

/** The consignment of a kit's last counted hand-over that names one; null where none does. */
export async function findConsignment(person: Person, code: string, now: number) {
  const dossier = await getSampleDossier(getAppPool(), getScope(person), code, now)
  const handedOver = dossier?.sample.events.findLast(
    (placed) =>
      isCounted(placed) && placed.event.kind === 'dispatched' && consignmentKey(placed.event) !== null,
  )
  if (!handedOver) return null
  const { service, waybill } = handedOver.event
  return { sample: null, service, waybill }
}

export const NO_CONSIGNMENT: FormFault = {
  field: 'kit',
  detail: message('record.fault.noConsignment'),
}

/** The faults that receipts tell of this sample: they go with the receipts, so they are taken back here. */
export function listFaultsOf(
  moving: readonly PlacedEvent[],
  { sample }: Pick<SampleDossier, 'sample'>,
): string[] {
  const receipts = new Set(moving.map(({ event }) => eventKey(event)))
  return sample.findings
    .flatMap((finding) => listTakeable(finding, sample))
    .filter((key) => receipts.has(splitFaultKey(key)?.receipt ?? ''))
}

/** Moves the events that a form ticks to another kit. */
export async function moveEvents(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.get('token')
  const dossier = await getWholeDossier(person, submission.get('sample'), now)
  if (!dossier) return { kind: 'not found' }
  const known = await findKnownSubmission(person, token, now)
  if (known) return known
  const keys = submission.getAll('event')
  const moving = dossier.sample.events.filter(
    (placed) =>
      keys.includes(eventKey(placed.event)) &&
      canBeMoved(placed) &&
      may(person, placed.event.kind, dossier.sample.kit),
  )
  const to = toCanonical(submission.get('kit'))
  const reason = submission.get('reason').trim()
  const kinds = moving.map(({ event }) => event.kind)
  const faults = await findMoveFaults(person, { from: dossier.row.code, to, kinds, reason }, now)
  if (moving.length === 0 || moving.length < new Set(keys).size)
    faults.push({ field: 'kind', detail: message('record.fault.tickEvents') })
  if (faults.length > 0) return { kind: 'refused', faults }
  return acceptSubmission(
    person,
    { actor, token, what: 'moved to another kit', more: { from: dossier.row.code, reason } },
    (register) => [
      ...moving.map(({ event }) =>
        reportAnew(
          event,
          { sample: to, corrects: eventKey(event), facts: describeMove(event, reason) },
          createEventAuthor(person, token, hashKey(eventKey(event))),
          register,
        ),
      ),
      ...listFaultsOf(moving, dossier).map((key) => {
        const author = createEventAuthor(person, token, hashKey(key))
        const { plant, row } = dossier
        return buildTakingBack({ key, code: row.code, zone: plant.zone, reason }, author, register, now)
      }),
    ],
    now,
  )
}

/** Assigns an event that matches no sample to the kit that a form names, or confirms a claim for its own. */
export async function assignEvent(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.get('token')
  const known = await findKnownSubmission(person, token, now)
  if (known) return known
  const key = submission.get('event')
  const found = await findUnplacedEvent(getAppPool(), getScope(person), key, now)
  if (!found) return { kind: 'not found' }
  const { event, isClaim } = found
  const to = toCanonical(getTargetKit(submission))
  const reason = submission.get('reason').trim()
  const from = isClaim ? '' : (event.sample ?? '')
  const faults = await findMoveFaults(person, { from, to, kinds: [event.kind], reason }, now)
  if (faults.length > 0) return { kind: 'refused', faults }
  const isOfConsignment = event.sample === null && !isOfUnknownBox(event)
  const move = isOfConsignment ? await findConsignment(person, to, now) : { sample: to }
  if (move === null) return { kind: 'refused', faults: [NO_CONSIGNMENT] }
  return acceptSubmission(
    person,
    {
      actor,
      token,
      what: isClaim ? 'confirmed a hand-over' : 'assigned to a kit',
      more: { from: getOrigin(event), kit: to, reason },
    },
    (register) => [
      reportAnew(
        event,
        {
          ...move,
          corrects: key,
          facts: isClaim ? { 'confirmed because': reason } : describeMove(event, reason),
        },
        createEventAuthor(person, token, hashKey(key)),
        register,
      ),
    ],
    now,
  )
}

/** The kit that was typed, else the likely one that was chosen. */
export function getTargetKit(submission: Submission): string {
  return submission.get('otherKit').trim() || submission.get('kit')
}

/** The kit or consignment that an event names; null for a box without a code, whose facts say what is written on it. */
function getOrigin(event: ReadEvent): string | null {
  return event.sample ?? (isOfUnknownBox(event) ? null : `${event.service} ${event.waybill}`)
}
