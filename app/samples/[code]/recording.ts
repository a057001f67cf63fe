import type { Choices } from '@/app/ui/AskedFields'
import { EVENT_KINDS, type EventKind, isEventKind, keyOf, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { canonical } from '@/lib/custody/kitCode'
import { canBeMoved, isCounted } from '@/lib/custody/placing'
import { isEnding, isMilestone } from '@/lib/hold/milestone'
import { type HandFault, readHandEvent } from '@/lib/intake/hand/handEvent'
import { formOfEvent, type HandForm, handFormOf } from '@/lib/intake/hand/handFields'
import { likelyNext } from '@/lib/judgement/nextStep'
import { mayMove, mayRecord } from '@/lib/policy/mayRecord'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { handSource } from '@/lib/policy/reporting'
import { placeName } from '@/lib/schedule/placeName'
import { owesFormCopy } from '@/lib/schedule/progress'
import { type ActEvent, eventsOfAct, kitChoices } from '@/lib/store/read/sample/byHand'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import type { Moving } from './MoveForm'
import { moveFaults } from './moveFaults'

/** What a person can record of a sample, and what they have just recorded or typed. */
export interface Recording {
  code: string
  asOf: number
  /** What is theirs to say of it now. */
  kinds: EventKind[]
  /** The likeliest next, if it is theirs to say. */
  next: EventKind | null
  /** What the form that is shown records. */
  kind: EventKind | null
  form: HandForm
  faults: HandFault[]
  choices: Choices
  /** Where times of this kind are read. */
  zone: string
  /** The event that is about to be changed or taken out. */
  change: ReadEvent | null
  /** Keys of the events that they may change. */
  changeable: ReadonlySet<string>
  moving: Moving | null
  done: ActEvent[]
  isSpare: boolean
  /** The copy of the form is to be sent still, and theirs to record. */
  owesFormCopy: boolean
}

type Params = Record<string, string | string[] | undefined>

/** Works out what a person sees of recording on a sample's page; `params` is its address's. */
export async function recordingOf(
  dossier: SampleDossier,
  person: Person,
  params: Params,
): Promise<Recording> {
  const { asOf, sample, row, plant, laboratory } = dossier
  const one = (name: string) => [params[name]].flat()[0] ?? ''
  const may = (kind: EventKind) => mayRecord(person, kind, sample.kit)
  const changeable = sample.events.filter(
    ({ event, correctedBy }) => correctedBy.length === 0 && event.kind !== 'withdrawn' && may(event.kind),
  )
  const change = changeable.find(({ event }) => keyOf(event) === one('change'))?.event ?? null
  const kinds = EVENT_KINDS.filter((kind) => may(kind) && isOpenTo(dossier, kind))
  const likely = likelyNext(row)
  const next = likely !== null && kinds.includes(likely) ? likely : null
  const asked = one('record')
  // Of what the carrier is to be asked, nothing is likelier than another: none is put forward to be pressed in haste.
  const likeliest = asked === 'carrier' ? null : next
  const kind = change?.kind ?? (isEventKind(asked) && kinds.includes(asked) ? asked : likeliest)
  const zone = kind !== null && KINDS[kind].clock === 'laboratory' ? laboratory.zone : plant.zone
  const isTyped = one('typed') === 'yes'
  const form = change && !isTyped ? formOfEvent(change, zone) : typedForm(one, isTyped, kind, dossier)
  const token = one('done')
  const { services, products } = await kitChoices(sharedPool(), plant.code, asOf)
  return {
    code: row.code,
    asOf,
    kinds,
    next,
    kind,
    form,
    faults: isTyped ? faultsOf(form, dossier, person) : [],
    choices: {
      services,
      // What else a maker makes is not told to those who do not cut for it.
      products: may('collected') ? products : [],
      limits: sample.clocks.filter(({ stoppedAt }) => stoppedAt === null).map(({ limit }) => limit.name),
      deviations: deviationsOf(dossier),
      laboratoryPlace: placeName(laboratory.zone),
    },
    zone,
    change,
    changeable: new Set(changeable.map(({ event }) => keyOf(event))),
    moving: mayMove(person) ? await movingOf(dossier, person, params) : null,
    done:
      token === '' ? [] : await eventsOfAct(sharedPool(), scopeOf(person), handSource(person), token, asOf),
    isSpare: sample.product === null,
    owesFormCopy: kinds.includes('form copy') && owesFormCopy(sample, asOf),
  }
}

/** Whether a kind can still be said of a sample: a milestone once, an ending of one that has not ended. */
function isOpenTo({ sample, row }: SampleDossier, kind: EventKind): boolean {
  if (kind === 'withdrawn') return false
  if (isMilestone(kind)) return !sample.history.milestones.has(kind)
  if (kind === 'extended') return sample.clocks.some(({ stoppedAt }) => stoppedAt === null)
  if (kind === 'ruling') return sample.events.some((one) => isCounted(one) && one.event.kind === 'deviation')
  return row.ending === null || !isEnding(kind)
}

/** What was typed, as the address has it; else what is known before anyone types. */
function typedForm(
  one: (name: string) => string,
  isTyped: boolean,
  kind: EventKind | null,
  { sample }: SampleDossier,
): HandForm {
  // A link to a ruling says on what.
  const known: Partial<HandForm> = { service: sample.kit.service ?? '', lot: sample.lot ?? '', on: one('on') }
  return handFormOf((field) => (field === 'kind' ? kind : isTyped ? one(field) : known[field]))
}

function faultsOf(form: HandForm, { sample, row, plant, laboratory, asOf }: SampleDossier, person: Person) {
  const read = readHandEvent(
    form,
    { ...sample.kit, product: sample.product, reported: row.milestones.map(({ milestone }) => milestone) },
    { source: handSource(person), id: 'typed', name: person.name },
    (place) => (place === plant.code ? plant.zone : place === laboratory.code ? laboratory.zone : null),
    asOf,
  )
  return 'faults' in read ? read.faults : []
}

function deviationsOf({ sample }: SampleDossier): Choices['deviations'] {
  return sample.events
    .filter((placed) => isCounted(placed) && placed.event.kind === 'deviation')
    .map(({ event }) => {
      const what = event.facts?.what
      return { key: keyOf(event), words: typeof what === 'string' ? what : KINDS.deviation.happened }
    })
}

async function movingOf(dossier: SampleDossier, person: Person, params: Params): Promise<Moving> {
  const { sample, plant, row, asOf } = dossier
  const one = (name: string) => [params[name]].flat()[0] ?? ''
  const isOpen = one('move') === 'yes'
  const ticked = [params.moving].flat()
  const faults = isOpen
    ? await moveFaults(person, row.code, canonical(one('to')), one('why').trim(), asOf)
    : []
  if (isOpen && ticked.every((key) => key === undefined))
    faults.push({ field: 'kind', detail: 'Tick the events to move, of those that still count.' })
  return {
    events: sample.events.filter(canBeMoved).map(({ event }) => {
      const key = keyOf(event)
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
