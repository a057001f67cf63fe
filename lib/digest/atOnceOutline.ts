import { CUTTING_CAUTION } from '@/lib/schedule/cuttingCaution'
import type { AtOnceKind } from '@/lib/store/atOnceChoice'
import type { DigestPerson } from '@/lib/store/digestPeople'
import type { SampleDossier } from '@/lib/store/sampleDossier'
import { type DateWords, dateWords } from './dateWords'
import type { Outline, OutlineLine } from './outline'

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
    foot: {
      standing: [
        `Sent at once, as of ${words.time(dossier.asOf, person.zone)}.`,
        ...(standsFor.length > 0 ? [`It is also for ${standsFor.join(', ')}.`] : []),
        'Holdfast informs; the laboratory and the programme decide.',
      ].join(' '),
      caution: told.asksToCut ? CUTTING_CAUTION : null,
      choose: { text: 'Choose what is sent to you', url: `${siteUrl}/me` },
      stop: { text: 'Stop mails at once', url: stopUrl },
    },
  }
}

interface Told {
  /** Goes on from the kit's code: "has lapsed". */
  turn: string
  why: string
  next: Omit<OutlineLine, 'act'> & { act: string }
  asksToCut?: boolean
}

const TOLD: Record<AtOnceKind, (dossier: SampleDossier, words: DateWords, person: Person) => Told | null> = {
  'at risk': ({ row }, words, person) => {
    const { binding, forecast, standing, replacedBy } = row
    if (standing !== 'at risk' || replacedBy !== null || !binding) return null
    const chance = forecast ? ` The chance to miss it is put at ${percent(forecast.risk)}.` : ''
    const opening = forecast?.needsOpening
      ? ' Only an opening out of hours could save it: ask the laboratory to open.'
      : ''
    return {
      turn: 'is at risk',
      why: `It may miss its limit, ${limitName(binding.limit.name)}.${chance}${opening}`,
      next: {
        ...nextAct(row, person),
        when: dueWords(binding.dueAt, row.laboratoryZone, words),
        isOverdue: false,
      },
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
              act: `Cut ${codeText(row.code)} again`,
              why: 'it has lapsed, and the programme may rule otherwise',
            }
          : {
              act: `See ${codeText(row.code)}`,
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
    const { binding } = row
    return {
      turn: 'has arrived',
      why: `${laboratory.name} received it on ${words.day(received.at, row.laboratoryZone)}.`,
      next: binding
        ? {
            ...nextAct(row, person),
            when: dueWords(binding.dueAt, row.laboratoryZone, words),
            isOverdue: false,
          }
        : {
            act: `See ${codeText(row.code)}`,
            why: 'no limit of it is running',
            when: null,
            isOverdue: false,
          },
    }
  },
}

/** What is to be done next with an open sample of which a limit is running; where it is another's to do, to look at it. */
function nextAct(row: SampleDossier['row'], person: Person): { act: string; why: string } {
  const kit = codeText(row.code)
  const see = `See ${kit}`
  const [act, why, by] = ((): [string, string, 'plant' | 'laboratory' | null] => {
    switch (row.stage) {
      case 'dispatched':
        return [`Ask where ${kit} is`, 'it is under way', null]
      case 'delivered':
        return [`Log in ${kit}`, 'the carrier says it was delivered', 'laboratory']
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
  return { act: by === null || mayActAt(person, by, row) ? act : see, why }
}

function mayActAt(
  { isAdministrator, plants, laboratories }: Person,
  by: 'plant' | 'laboratory',
  { plant, laboratory }: SampleDossier['row'],
): boolean {
  return isAdministrator || (by === 'plant' ? plants.includes(plant) : laboratories.includes(laboratory))
}

/** A chance is never certain. */
function percent(chance: number): string {
  return chance >= 0.995 ? 'more than 99 %' : `${Math.round(chance * 100)} %`
}

function sampleWords({ row, plant }: SampleDossier): string {
  const product = row.productName ?? row.product
  return [product ?? 'Its product is not known yet', ...(row.lot ? [`lot ${row.lot}`] : []), plant.name].join(
    ', ',
  )
}

function dueWords(dueAt: number | null, zone: string, words: DateWords): string | null {
  return dueAt === null ? null : `its limit ends ${words.time(dueAt, zone)}`
}

const codeOf = ({ row }: SampleDossier) => codeText(row.code)
const codeText = (code: string) => `${code.slice(0, 4)}-${code.slice(4)}`
const limitName = (name: string) => `“${name}”`
