import { displayCode } from '@/lib/schedule/dueWords'
import { capitalised } from '@/lib/schedule/firstLetter'
import { maySettle } from '@/lib/schedule/hasToAct'
import { replaceWords } from '@/lib/schedule/replaceWords'
import { replacementPath } from '@/lib/schedule/settlingPath'
import type { AtOnceKind } from '@/lib/store/atOnceChoice'
import type { DigestPerson } from '@/lib/store/digestPeople'
import type { SampleDossier } from '@/lib/store/sampleDossier'
import type { DateWords } from './dateWords'
import { percent } from './percent'

export type AtOnceReader = Pick<
  DigestPerson,
  'language' | 'zone' | 'isAdministrator' | 'plants' | 'laboratories'
>

/** What is told of one sample that turned. */
export interface TurnWords {
  /** Why, as a sentence; and the same where it is said of several at once. */
  why: { one: string; several: string }
  /** `because` goes on from "it", or from "each". */
  next: { act: string; path: string; because: string; when: string | null }
  /** It is the reader's to do. */
  isTheirs: boolean
  asksToCut: boolean
}

/** A turn of a sample in words; null where it does not hold (any more). */
export function turnWords(
  kind: AtOnceKind,
  dossier: SampleDossier,
  words: DateWords,
  reader: AtOnceReader,
): TurnWords | null {
  return TOLD[kind](dossier, words, reader)
}

type Telling = (dossier: SampleDossier, words: DateWords, reader: AtOnceReader) => TurnWords | null

const TOLD: Record<AtOnceKind, Telling> = {
  'at risk': ({ row, plant }, words, reader) => {
    const { binding, forecast, standing, replacedBy } = row
    if (standing !== 'at risk' || replacedBy !== null || !binding) return null
    const chance = forecast ? ` The chance to miss it is put at ${percent(forecast.risk)}.` : ''
    const opening = forecast?.needsOpening
      ? ' Only an opening out of hours could save it: ask the laboratory to open.'
      : ''
    const rest = `may miss its limit, ${limitName(binding.limit.name)}.${chance}${opening}`
    const { asksToCut, isTheirs, ...next } = nextAct(row, reader)
    return {
      why: { one: `It ${rest}`, several: `Each of them ${rest}` },
      next: { ...next, when: limitEnds(binding.dueAt, [row.laboratoryZone, plant.zone], words) },
      isTheirs,
      asksToCut,
    }
  },
  lapsed: ({ row, plant }, words, reader) => {
    const { lapsed, replacedBy } = row
    if (!lapsed || replacedBy !== null) return null
    const kit = displayCode(row.code)
    const replace = replaceWords(kit, row.plant, reader)
    const limit = `kept within its limit, ${limitName(lapsed.limit.name)}.`
    return {
      why: { one: `It was not ${limit}`, several: `None of them was ${limit}` },
      next: {
        act: capitalised(replace ?? `see ${kit}`),
        path: reader.isAdministrator ? replacementPath({ ...row, sample: row.code }) : pathOf(row),
        because: 'is to be replaced by a kit that the programme issues, unless it rules otherwise',
        when: `its limit ended ${words.ends(lapsed.dueAt as number, [row.laboratoryZone, plant.zone])}`,
      },
      isTheirs: replace !== null,
      asksToCut: !reader.isAdministrator && replace !== null,
    }
  },
  arrived: ({ row, plant, laboratory }, words, reader) => {
    const received = row.milestones.find(({ milestone }) => milestone === 'received')
    if (!received) return null
    const { binding, code, laboratoryZone } = row
    const { act, because, isTheirs } = binding
      ? nextAct(row, reader)
      : { act: `See ${displayCode(code)}`, because: 'has no limit that is running', isTheirs: false }
    const day = words.day(received.at, laboratoryZone)
    return {
      why: {
        one: `${laboratory.name} received it on ${day}.`,
        several: `${laboratory.name} received them on ${day}.`,
      },
      next: {
        act,
        path: pathOf(row),
        because,
        when: binding && limitEnds(binding.dueAt, [laboratoryZone, plant.zone], words),
      },
      isTheirs,
      asksToCut: false,
    }
  },
}

/** What is to be done next with an open sample of which a limit is running; where it is another's to do, to look at it. */
function nextAct(row: SampleDossier['row'], reader: AtOnceReader) {
  const kit = displayCode(row.code)
  const see = `See ${kit}`
  const isToCut = row.stage === null || row.stage === 'produced'
  const [act, because, by] = ((): [string, string, 'plant' | 'laboratory' | null] => {
    if (isToCut) return [`Cut ${kit}`, 'is not cut yet', 'plant']
    switch (row.stage) {
      case 'dispatched':
        return [`Ask where ${kit} is`, 'is under way', null]
      case 'delivered':
        return [`Log the receipt of ${kit}`, 'was delivered, as the carrier says', 'laboratory']
      case 'received':
      case 'conditioned':
        return [`Load ${kit}`, 'has arrived, and its test has not begun', 'laboratory']
      case 'loaded':
      case 'reported':
        return [see, 'has begun its test', null]
      default:
        return [`Hand ${kit} to the carrier`, 'is cut and has not left', 'plant']
    }
  })()
  const isTheirs = by === null || isFor(by, row, reader)
  return {
    act: isTheirs ? act : see,
    path: pathOf(row),
    because,
    isTheirs: isTheirs && act !== see,
    asksToCut: isToCut && isTheirs,
  }
}

function isFor(by: 'plant' | 'laboratory', row: SampleDossier['row'], reader: AtOnceReader): boolean {
  return maySettle({ by, code: row[by] }, reader)
}

function pathOf({ code }: SampleDossier['row']): string {
  return `/samples/${code}`
}

function limitEnds(dueAt: number | null, zones: [string, string], words: DateWords): string | null {
  return dueAt === null ? null : `its limit ends ${words.ends(dueAt, zones)}`
}

const limitName = (name: string) => `“${name}”`
