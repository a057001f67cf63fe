import { moveFaults } from '@/app/samples/[code]/moveFaults'
import { consignmentKey, keyOf, type ReadEvent } from '@/lib/custody/event'
import { canonical } from '@/lib/custody/kitCode'
import { canBeMoved, isCounted } from '@/lib/custody/placing'
import type { Register } from '@/lib/custody/register'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { unplacedEvent } from '@/lib/store/read/unplaced/unplacedEvents'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { acceptByHand, type HandItem, readByHand, recordedBefore, shortOf, writerOf } from './handActs'
import type { Outcome, Submission } from './handForm'

/** What is changed of an event that is reported anew because it belongs elsewhere. */
export interface Move {
  /** The kit it belongs to; or, for one of a consignment, the waybill it travels under. */
  sample: string | null
  service?: string | null
  waybill?: string | null
  reason: string
}

/**
 * The same event reported anew as a person's, where it belongs: it takes the old one out of the count, and says where it was
 * moved from and why.
 */
function movedEvent(
  event: ReadEvent,
  move: Move,
  writer: { source: string; id: string },
  register: Register,
): HandItem {
  return readByHand(
    {
      source: writer.source,
      id: writer.id,
      sample: move.sample ?? undefined,
      kind: event.kind,
      at: event.at,
      zone: event.zone ?? undefined,
      place: event.place ?? undefined,
      service: move.service ?? event.service ?? undefined,
      waybill: move.waybill ?? event.waybill ?? undefined,
      product: event.product ?? undefined,
      lot: event.lot ?? undefined,
      corrects: keyOf(event),
      facts: { ...event.facts, 'moved from': fromOf(event), 'moved because': move.reason },
    },
    register,
  )
}

/** The consignment that a kit travels in by its last counted hand-over that names one; null where none does. */
export async function consignmentOf(person: Person, code: string, now: number) {
  const dossier = await sampleDossier(sharedPool(), scopeOf(person), code, now)
  const handedOver = dossier?.sample.events.findLast(
    (placed) =>
      isCounted(placed) && placed.event.kind === 'dispatched' && consignmentKey(placed.event) !== null,
  )
  if (!handedOver) return null
  const { service, waybill } = handedOver.event
  return { sample: null, service, waybill }
}

export const NO_CONSIGNMENT: HandFault = {
  field: 'kit',
  detail:
    'This kit was not handed over under any waybill, so what a carrier says of one cannot be about it. Record the hand-over first.',
}

/** Moves the events that a form ticks to another kit, in one act of a person's. */
export async function movedBy(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.one('token')
  const dossier = await sampleDossier(sharedPool(), scopeOf(person), submission.one('sample'), now)
  if (!dossier) return { kind: 'absent' }
  const before = await recordedBefore(person, token, now)
  if (before.length > 0) return { kind: 'already known', token, events: before.map(({ key }) => key) }
  const keys = submission.all('event')
  const moving = dossier.sample.events.filter(
    (placed) => keys.includes(keyOf(placed.event)) && canBeMoved(placed),
  )
  const to = canonical(submission.one('kit'))
  const reason = submission.one('reason').trim()
  const faults = await moveFaults(person, dossier.row.code, to, reason, now)
  if (moving.length === 0 || moving.length < new Set(keys).size)
    faults.push({ field: 'kind', detail: 'Tick the events to move, of those that still count.' })
  if (faults.length > 0) return { kind: 'refused', faults }
  return acceptByHand(
    person,
    { actor, token, what: 'moved to another kit', more: { from: dossier.row.code, reason } },
    (register) =>
      moving.map(({ event }) =>
        movedEvent(event, { sample: to, reason }, writerOf(person, token, shortOf(keyOf(event))), register),
      ),
    now,
  )
}

/** Assigns an event that fits nothing to the kit that a form names, in one act of a person's. */
export async function assignedBy(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.one('token')
  const before = await recordedBefore(person, token, now)
  if (before.length > 0) return { kind: 'already known', token, events: before.map(({ key }) => key) }
  const key = submission.one('event')
  const event = await unplacedEvent(sharedPool(), scopeOf(person), key, now)
  if (!event) return { kind: 'absent' }
  const to = canonical(kitNamed(submission))
  const reason = submission.one('reason').trim()
  const faults = await moveFaults(person, event.sample ?? '', to, reason, now)
  if (faults.length > 0) return { kind: 'refused', faults }
  const move = event.sample === null ? await consignmentOf(person, to, now) : { sample: to }
  if (move === null) return { kind: 'refused', faults: [NO_CONSIGNMENT] }
  return acceptByHand(
    person,
    { actor, token, what: 'assigned to a kit', more: { from: fromOf(event), kit: to, reason } },
    (register) => [movedEvent(event, { ...move, reason }, writerOf(person, token, shortOf(key)), register)],
    now,
  )
}

/** The kit that was written, else the one that was chosen among the likely ones. */
export function kitNamed(submission: Submission): string {
  return submission.one('otherKit').trim() || submission.one('kit')
}

function fromOf(event: ReadEvent): string {
  return event.sample ?? `${event.service} ${event.waybill}`
}
