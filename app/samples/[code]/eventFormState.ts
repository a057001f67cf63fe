import type { FieldChoices } from '@/app/ui/EventFields'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { EVENT_KINDS, type EventKind, eventKey, isEventKind, type ReadEvent } from '@/lib/custody/event'
import { getPlaceOwner } from '@/lib/custody/eventKinds'
import { type Finding, isUnruled } from '@/lib/custody/finding'
import { findFailure } from '@/lib/custody/fitness'
import { toCanonical } from '@/lib/custody/kitCode'
import { canBeMoved } from '@/lib/custody/placing'
import { type Clock, canBeExtended } from '@/lib/hold/clock'
import { isEnding, isMilestone, type Milestone } from '@/lib/hold/milestone'
import { type EventFormValues, readEventForm, toEventForm } from '@/lib/intake/hand/eventForm'
import { type FormFault, parseEventForm } from '@/lib/intake/hand/parseEventForm'
import type { Judgement } from '@/lib/judgement/judge'
import { findLikelyNext } from '@/lib/judgement/likelyNext'
import { findRestraintOn } from '@/lib/judgement/restraintText'
import { message } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/messages/zoneName'
import { handSource } from '@/lib/policy/handSource'
import { findReportingSide, mayTakeOut } from '@/lib/policy/mayReport'
import { getScope, type Person } from '@/lib/policy/principal'
import { getReporter, may } from '@/lib/policy/reporting'
import { formatFailure, owesFormCopy } from '@/lib/schedule/progress'
import { getKitChoices, listSubmittedEvents, type SubmittedEvent } from '@/lib/store/read/sample/eventForm'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { findMoveFaults } from './findMoveFaults'
import type { MoveFormState } from './MoveForm'
import { readTakeBackState, type TakeBackState } from './takeBackState'

/** What a person can record of a sample, and what they have just recorded or typed. */
export interface EventFormState {
  code: string
  asOf: number
  /** The kinds that the person may report now. */
  kinds: EventKind[]
  /** The likeliest next milestone, if the person may report it and the sample may go on to it. */
  next: EventKind | null
  /** No milestone is offered, since the sample must not go on: what it needs stands above. */
  isWithheld: boolean
  /** The kind that the shown form records. */
  kind: EventKind | null
  form: EventFormValues
  faults: FormFault[]
  choices: FieldChoices
  /** The zone in which times of this kind are entered. */
  zone: string
  /** The event that is about to be corrected or taken out. */
  correcting: ReadEvent | null
  /** It was to be taken out without the reason that it takes. */
  lacksReason: boolean
  /** Keys of the events that the person may correct or take out. */
  changeableKeys: ReadonlySet<string>
  move: MoveFormState
  recorded: SubmittedEvent[]
  isSpare: boolean
  takeBack: TakeBackState
  /** The copy of the form is still owed, and the person may record it. */
  owesFormCopy: boolean
}

type Params = Record<string, string | string[] | undefined>

/** The state of the forms on a sample's page. `params`: the query of its address. */
export async function loadEventFormState(
  dossier: SampleDossier,
  judgement: Judgement,
  person: Person,
  params: Params,
): Promise<EventFormState> {
  const { asOf, sample, row, plant, laboratory } = dossier
  const one = (name: string) => [params[name]].flat()[0] ?? ''
  const mayReport = (kind: EventKind) => may(person, kind, sample.kit)
  const changeable = sample.events.filter(
    ({ event, correctedBy }) =>
      correctedBy.length === 0 &&
      event.kind !== 'withdrawn' &&
      mayTakeOut(getReporter(person), event, sample.kit),
  )
  const correcting = changeable.find(({ event }) => eventKey(event) === one('change'))?.event ?? null
  const kinds = EVENT_KINDS.filter((kind) => mayReport(kind) && canStillHappen(dossier, kind))
  const likely = findOffered(row, judgement)
  const next = likely !== null && kinds.includes(likely) ? likely : null
  const asked = one('record')
  // Every answer of a carrier is as likely as another, so none is offered to be pressed in haste.
  const likeliest = asked === 'carrier' ? null : next
  const kind = correcting?.kind ?? (isEventKind(asked) && kinds.includes(asked) ? asked : likeliest)
  const side = kind === null ? null : findReportingSide(getReporter(person), kind, sample.kit)
  const isAtLaboratory = kind !== null && getPlaceOwner(kind, side) === 'laboratory'
  const zone = isAtLaboratory ? laboratory.zone : plant.zone
  const isTyped = one('typed') === 'yes'
  const form =
    correcting && !isTyped
      ? toEventForm(correcting, zone)
      : readTypedForm(one, isTyped, kind, dossier, await getTranslate())
  const token = one('done')
  const { services, products } = await getKitChoices(getAppPool(), plant.code, asOf)
  return {
    code: row.code,
    asOf,
    kinds,
    next,
    isWithheld: likely === null && judgement.fitness !== 'fit',
    kind,
    form,
    faults: isTyped ? findFaults(form, dossier, judgement, person) : [],
    choices: {
      services,
      // Only those who cut for a maker see what else it makes.
      products: mayReport('collected') ? products : [],
      limits: listExtendable(sample.clocks, correcting, asOf),
      findings: listRulable(dossier),
      untilPlace: formatZone(zone),
    },
    zone,
    correcting,
    lacksReason: one('withdraw') === 'yes',
    changeableKeys: new Set(changeable.map(({ event }) => eventKey(event))),
    move: await loadMoveFormState(dossier, person, params),
    recorded:
      token === ''
        ? []
        : await listSubmittedEvents(getAppPool(), getScope(person), handSource(person), token, asOf),
    isSpare: sample.product === null,
    takeBack: readTakeBackState(sample, person, one),
    owesFormCopy: kinds.includes('form copy') && owesFormCopy(sample, asOf),
  }
}

/** The milestone to be recorded by one press: the likeliest next one, unless the sample must not go on to it. */
function findOffered(row: SampleDossier['row'], judgement: Judgement): Milestone | null {
  const { fitness, acts } = judgement
  if (fitness === 'unfit') return null
  if (acts.some(({ act }) => act === 'load it, hold the report')) return 'loaded'
  const likely = findLikelyNext(row)
  return likely !== null && findRestraintOn(likely, judgement) !== null ? null : likely
}

/** A milestone happens once; an ending only to a sample that has not ended. */
function canStillHappen({ sample, row, asOf }: SampleDossier, kind: EventKind): boolean {
  if (kind === 'withdrawn') return false
  if (isMilestone(kind)) return !sample.history.milestones.has(kind)
  if (kind === 'extended') return sample.clocks.some((clock) => canBeExtended(clock, asOf))
  if (kind === 'ruling') return sample.findings.some(({ grade }) => grade === 'hold')
  return row.ending === null || !isEnding(kind)
}

/** The typed values from the address, else what is known before anyone types. */
function readTypedForm(
  one: (name: string) => string,
  isTyped: boolean,
  kind: EventKind | null,
  { sample, replaced, asOf }: SampleDossier,
  t: Translate,
): EventFormValues {
  const failure = findFailure(sample, asOf)
  // A link to a ruling names what it is on, one to a replacement the kit. A spare that replaces a sample is of its product.
  const known: Partial<EventFormValues> = {
    product: sample.product === null ? (replaced?.product ?? '') : '',
    service: sample.kit.service ?? replaced?.service ?? '',
    lot: sample.lot ?? '',
    on: one('on'),
    kit: one('kit'),
    reason: kind === 'replaced by' && failure !== null ? formatFailure(t, failure.reason) : '',
  }
  return readEventForm((field) => (field === 'kind' ? kind : isTyped ? one(field) : known[field]))
}

function findFaults(
  form: EventFormValues,
  { sample, row, plant, laboratory, asOf }: SampleDossier,
  judgement: Judgement,
  person: Person,
) {
  const read = parseEventForm(
    form,
    {
      ...sample.kit,
      product: sample.product,
      reported: row.milestones.map(({ milestone }) => milestone),
      clocks: sample.clocks,
      restraint: findRestraintOn(form.kind, judgement),
    },
    {
      source: handSource(person),
      id: 'typed',
      name: person.name,
      side: isEventKind(form.kind) ? findReportingSide(getReporter(person), form.kind, sample.kit) : null,
    },
    (place) => (place === plant.code ? plant.zone : place === laboratory.code ? laboratory.zone : null),
    asOf,
  )
  return 'faults' in read ? read.faults : []
}

/** The limits that can be extended now, and the one of an extension that is being corrected. */
function listExtendable(clocks: readonly Clock[], correcting: ReadEvent | null, now: number): string[] {
  const known = correcting?.kind === 'extended' ? correcting.facts?.limit : null
  return clocks
    .filter((clock) => canBeExtended(clock, now) || clock.limit.name === known)
    .map(({ limit }) => limit.name)
}

/** What can be ruled on, first what waits for it: a ruling can be given again. */
function listRulable({ sample, plant, asOf }: SampleDossier): FieldChoices['findings'] {
  const waits = (finding: Finding) => isUnruled(finding, asOf)
  const holds = sample.findings.filter(({ grade }) => grade === 'hold')
  return [...holds.filter(waits), ...holds.filter((one) => !waits(one))].map((finding) => ({
    key: finding.key,
    what: finding.what,
    at: finding.at,
    zone: plant.zone,
    now: asOf,
  }))
}

async function loadMoveFormState(
  dossier: SampleDossier,
  person: Person,
  params: Params,
): Promise<MoveFormState> {
  const { sample, plant, row, asOf } = dossier
  const one = (name: string) => [params[name]].flat()[0] ?? ''
  const isOpen = one('move') === 'yes'
  const ticked = [params.moving].flat()
  const movable = sample.events.filter(
    (placed) => canBeMoved(placed) && may(person, placed.event.kind, sample.kit),
  )
  const faults = isOpen
    ? await findMoveFaults(
        person,
        {
          from: row.code,
          to: toCanonical(one('to')),
          kinds: movable
            .filter(({ event }) => ticked.includes(eventKey(event)))
            .map(({ event }) => event.kind),
          reason: one('why').trim(),
        },
        asOf,
      )
    : []
  if (isOpen && ticked.every((key) => key === undefined))
    faults.push({ field: 'kind', detail: message('record.fault.tickEvents') })
  return {
    events: movable.map(({ event }) => {
      const key = eventKey(event)
      return {
        key,
        kind: event.kind,
        at: event.earliestAt,
        zone: plant.zone,
        isTicked: !isOpen || ticked.includes(key),
      }
    }),
    to: one('to'),
    reason: one('why'),
    faults,
    isOpen,
  }
}
