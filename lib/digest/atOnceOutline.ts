import { displayCode } from '@/lib/schedule/dueWords'
import type { AtOnceKind } from '@/lib/store/atOnceChoice'
import type { DigestPerson } from '@/lib/store/digestPeople'
import type { SampleDossier } from '@/lib/store/sampleDossier'
import { type DateWords, dateWords } from './dateWords'
import { footOf } from './footOf'
import type { Outline, OutlineLine } from './outline'
import { percent } from './percent'

type Person = Pick<DigestPerson, 'language' | 'zone' | 'isAdministrator' | 'plants' | 'laboratories'>

interface Reader {
  person: Person
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  standsFor: readonly string[]
  siteUrl: string
  stopUrl: string
}

/** A turn of a sample in words, for a mail of its own; null where it does not hold (any more). */
export function atOnceOutline(dossier: SampleDossier, kind: AtOnceKind, reader: Reader): Outline | null {
  const { person, standsFor, siteUrl, stopUrl } = reader
  const words = dateWords(person.language, { zone: person.zone, asOf: dossier.asOf })
  const told = TOLD[kind](dossier, words, person)
  if (!told) return null
  const url = `${siteUrl}/samples/${dossier.row.code}`
  return {
    subject: `Holdfast: ${codeOf(dossier)} ${told.turn}`,
    lead: `${codeOf(dossier)} ${told.turn}. ${told.why}`,
    sections: [
      {
        heading: 'What to do',
        note: null,
        groups: [
          { heading: sampleWords(dossier), lines: [{ ...told.next, act: { text: told.next.act, url } }] },
        ],
        more: null,
      },
    ],
    foot: footOf({
      cause: `Sent at once, as of ${words.time(dossier.asOf, person.zone)}.`,
      standsFor,
      asksToCut: told.asksToCut,
      siteUrl,
      stop: { text: 'Stop mails at once', url: stopUrl },
    }),
  }
}

interface Told {
  /** Goes on from the kit's code: "has lapsed". */
  turn: string
  why: string
  next: Omit<OutlineLine, 'act'> & { act: string }
  asksToCut: boolean
}

const TOLD: Record<AtOnceKind, (dossier: SampleDossier, words: DateWords, person: Person) => Told | null> = {
  'at risk': ({ row }, words, person) => {
    const { binding, forecast, standing, replacedBy } = row
    if (standing !== 'at risk' || replacedBy !== null || !binding) return null
    const chance = forecast ? ` The chance to miss it is put at ${percent(forecast.risk)}.` : ''
    const opening = forecast?.needsOpening
      ? ' Only an opening out of hours could save it: ask the laboratory to open.'
      : ''
    const { asksToCut, ...next } = nextAct(row, person)
    return {
      turn: 'is at risk',
      why: `It may miss its limit, ${limitName(binding.limit.name)}.${chance}${opening}`,
      next: { ...next, when: limitEnds(binding.dueAt, row.laboratoryZone, words), isOverdue: false },
      asksToCut,
    }
  },
  lapsed: ({ row }, words, person) => {
    const { lapsed, replacedBy } = row
    if (!lapsed || replacedBy !== null) return null
    const asksToCut = mayActAt(person, 'plant', row)
    return {
      turn: 'has lapsed',
      asksToCut,
      why: `It was not kept within its limit, ${limitName(lapsed.limit.name)}, which ended ${words.time(lapsed.dueAt as number, row.laboratoryZone)}.`,
      next: {
        ...(asksToCut
          ? {
              act: `Cut ${displayCode(row.code)} again`,
              why: 'it has lapsed, and the programme may rule otherwise',
            }
          : {
              act: `See ${displayCode(row.code)}`,
              why: 'its plant is to cut it again, unless the programme rules otherwise',
            }),
        when: null,
        isOverdue: false,
      },
    }
  },
  arrived: ({ row, laboratory }, words, person) => {
    const received = row.milestones.find(({ milestone }) => milestone === 'received')
    if (!received) return null
    const { binding, code, laboratoryZone } = row
    const { act, why } = binding
      ? nextAct(row, person)
      : { act: `See ${displayCode(code)}`, why: 'no limit of it is running' }
    return {
      turn: 'has arrived',
      why: `${laboratory.name} received it on ${words.day(received.at, laboratoryZone)}.`,
      next: {
        act,
        why,
        when: binding && limitEnds(binding.dueAt, laboratoryZone, words),
        isOverdue: false,
      },
      asksToCut: false,
    }
  },
}

/** What is to be done next with an open sample of which a limit is running; where it is another's to do, to look at it. */
function nextAct(
  row: SampleDossier['row'],
  person: Person,
): { act: string; why: string; asksToCut: boolean } {
  const kit = displayCode(row.code)
  const see = `See ${kit}`
  const isToCut = row.stage === null || row.stage === 'produced'
  const [act, why, by] = ((): [string, string, 'plant' | 'laboratory' | null] => {
    if (isToCut) return [`Cut ${kit}`, 'it is not cut yet', 'plant']
    switch (row.stage) {
      case 'dispatched':
        return [`Ask where ${kit} is`, 'it is under way', null]
      case 'delivered':
        return [`Log the receipt of ${kit}`, 'the carrier says it was delivered', 'laboratory']
      case 'received':
      case 'conditioned':
        return [`Load ${kit}`, 'it has arrived and its test has not begun', 'laboratory']
      case 'loaded':
      case 'reported':
        return [see, 'its test has begun', null]
      default:
        return [`Hand ${kit} to the carrier`, 'it is cut and has not left', 'plant']
    }
  })()
  const isTold = by === null || mayActAt(person, by, row)
  return { act: isTold ? act : see, why, asksToCut: isToCut && isTold }
}

function mayActAt(
  { isAdministrator, plants, laboratories }: Person,
  by: 'plant' | 'laboratory',
  { plant, laboratory }: SampleDossier['row'],
): boolean {
  return isAdministrator || (by === 'plant' ? plants.includes(plant) : laboratories.includes(laboratory))
}

function sampleWords({ row, plant }: SampleDossier): string {
  const product = row.productName ?? row.product
  return [product ?? 'Its product is not known yet', ...(row.lot ? [`lot ${row.lot}`] : []), plant.name].join(
    ', ',
  )
}

function limitEnds(dueAt: number | null, zone: string, words: DateWords): string | null {
  return dueAt === null ? null : `its limit ends ${words.time(dueAt, zone)}`
}

const codeOf = ({ row }: SampleDossier) => displayCode(row.code)
const limitName = (name: string) => `“${name}”`
