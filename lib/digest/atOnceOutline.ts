import type { AtOnceKind } from '@/lib/store/atOnceChoice'
import type { DigestPerson } from '@/lib/store/digestPeople'
import type { SampleDossier } from '@/lib/store/sampleDossier'
import { type DateWords, dateWords } from './dateWords'
import type { Outline, OutlineLine } from './outline'

interface Reader {
  person: Pick<DigestPerson, 'language' | 'zone' | 'isAdministrator' | 'plants'>
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  standsFor: readonly string[]
  siteUrl: string
  stopUrl: string
}

/** A turn of a sample in words, for a mail of its own; null where it does not hold (any more). */
export function atOnceOutline(dossier: SampleDossier, kind: AtOnceKind, reader: Reader): Outline | null {
  const { person, standsFor, siteUrl, stopUrl } = reader
  const words = dateWords(person.language)
  const told = TOLD[kind](dossier, words, person.isAdministrator || person.plants.includes(dossier.row.plant))
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
}

const TOLD: Record<AtOnceKind, (dossier: SampleDossier, words: DateWords, canCut: boolean) => Told | null> = {
  'at risk': ({ row }, words) => {
    const { binding, forecast, standing, replacedBy } = row
    if (standing !== 'at risk' || replacedBy !== null || !binding) return null
    const chance = forecast ? ` The chance to miss it is put at ${Math.round(forecast.risk * 100)} %.` : ''
    const opening = forecast?.needsOpening
      ? ' Only an opening out of hours could save it: ask the laboratory to open.'
      : ''
    return {
      turn: 'is at risk',
      why: `It may miss its limit, ${limitName(binding.limit.name)}.${chance}${opening}`,
      next: { ...nextAct(row), when: dueWords(binding.dueAt, row.laboratoryZone, words), isOverdue: false },
    }
  },
  lapsed: ({ row }, words, canCut) => {
    const { lapsed, replacedBy } = row
    if (!lapsed || replacedBy !== null) return null
    return {
      turn: 'has lapsed',
      why: `It was not kept within its limit, ${limitName(lapsed.limit.name)}, which ended ${words.time(lapsed.dueAt as number, row.laboratoryZone)}.`,
      next: {
        ...(canCut
          ? { act: `Cut ${codeText(row.code)} again`, why: 'unless the programme rules otherwise' }
          : {
              act: `See ${codeText(row.code)}`,
              why: 'its plant is to cut it again, unless the programme rules otherwise',
            }),
        when: null,
        isOverdue: false,
      },
    }
  },
  arrived: ({ row, laboratory }, words) => {
    const received = row.milestones.find(({ milestone }) => milestone === 'received')
    if (!received) return null
    const { binding } = row
    return {
      turn: 'has arrived',
      why: `${laboratory.name} received it on ${words.day(received.at, row.laboratoryZone)}.`,
      next: binding
        ? { ...nextAct(row), when: dueWords(binding.dueAt, row.laboratoryZone, words), isOverdue: false }
        : {
            act: `See ${codeText(row.code)}`,
            why: 'no limit of it is running',
            when: null,
            isOverdue: false,
          },
    }
  },
}

/** What is to be done next with an open sample of which a limit is running. */
function nextAct({ stage, code }: SampleDossier['row']): { act: string; why: string } {
  const kit = codeText(code)
  switch (stage) {
    case 'dispatched':
      return { act: `Ask where ${kit} is`, why: 'it is under way' }
    case 'delivered':
      return { act: `Log in ${kit}`, why: 'the carrier says it was delivered' }
    case 'received':
    case 'conditioned':
      return { act: `Load ${kit}`, why: 'it has arrived and its test has not begun' }
    case 'loaded':
    case 'reported':
      return { act: `See ${kit}`, why: 'its test has begun' }
    default:
      return { act: `Hand ${kit} to the carrier`, why: 'it is cut and has not left' }
  }
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
