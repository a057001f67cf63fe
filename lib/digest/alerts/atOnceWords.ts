import type { AtOnceKind } from '@/lib/judgement/atOnceKinds'
import { displayCode } from '@/lib/judgement/dueWords'
import { hasToAct } from '@/lib/judgement/hasToAct'
import {
  andRecord,
  isToBeReplaced,
  nextStep,
  openingWords,
  replaceWords,
  stepWords,
} from '@/lib/judgement/nextStep'
import { recordPath, replacementPath } from '@/lib/judgement/settlingPath'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { DateWords } from '../weekly/dateWords'
import { percent } from '../weekly/sentence'

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
type Telling = (dossier: SampleDossier, words: DateWords, reader: AtOnceReader) => TurnWords | null

interface AtOnceRow {
  /** How it is chosen; goes on from "when a sample". */
  chosen: string
  /** How it goes on from a kit's code, or from several. */
  turned: { one: string; several: string }
  tell: Telling
}

const tellAtRisk: Telling = ({ row, plant }, words, reader) => {
  const { binding, forecast, standing, replacedBy } = row
  if (standing !== 'at risk' || replacedBy !== null || !binding) return null
  const chance = forecast ? ` The chance to miss it is put at ${percent(forecast.risk)}.` : ''
  const isDesk = hasToAct({ by: 'laboratory', code: row.laboratory }, reader)
  const opening = forecast?.needsOpening ? ` ${capitalised(openingWords(isDesk))}.` : ''
  const rest = `may miss its limit, ${limitName(binding.limit.name)}.${chance}${opening}`
  const { asksToCut, isTheirs: _, ...next } = nextAct(row, reader)
  return {
    why: { one: `It ${rest}`, several: `Each of them ${rest}` },
    next: { ...next, when: limitEnds(binding.dueAt, [row.laboratoryZone, plant.zone], words) },
    // Whoever cannot do it is to ask whose it is.
    isTheirs: true,
    asksToCut,
  }
}

const tellLapsed: Telling = ({ row, plant }, words, reader) => {
  const { lapsed, replacedBy } = row
  if (!lapsed || replacedBy !== null) return null
  const limit = `kept within its limit, ${limitName(lapsed.limit.name)}.`
  return {
    why: { one: `It was not ${limit}`, several: `None of them was ${limit}` },
    ...replacing(row, `its limit ended ${endOf(lapsed, row, plant, words)}`, reader),
  }
}

const tellArrived: Telling = ({ row, plant, laboratory }, words, reader) => {
  const received = row.milestones.find(({ milestone }) => milestone === 'received')
  if (!received) return null
  const { binding, lapsed, laboratoryZone } = row
  const ended = lapsed && `its limit ended ${endOf(lapsed, row, plant, words)}`
  const next = binding ? nextAct(row, reader) : seeing(row, 'has no limit that is running')
  const { isTheirs, asksToCut: _, ...told } = next.isTheirs ? next : seeing(row, next.because)
  const day = words.day(received.at, laboratoryZone)
  return {
    why: {
      one: `${laboratory.name} received it on ${day}.`,
      several: `${laboratory.name} received them on ${day}.`,
    },
    ...(ended
      ? replacing(row, ended, reader)
      : {
          next: { ...told, when: binding && limitEnds(binding.dueAt, [laboratoryZone, plant.zone], words) },
          isTheirs,
          asksToCut: false,
        }),
  }
}

/** Each kind of turn of a sample that can be told at once. */
export const AT_ONCE: Readonly<Record<AtOnceKind, AtOnceRow>> = {
  'at risk': {
    chosen: 'turns at risk of missing its limit',
    turned: { one: 'is at risk', several: 'are at risk' },
    tell: tellAtRisk,
  },
  lapsed: {
    chosen: 'lapses',
    turned: { one: 'has lapsed', several: 'have lapsed' },
    tell: tellLapsed,
  },
  arrived: {
    chosen: 'arrives at the laboratory',
    turned: { one: 'has arrived', several: 'have arrived' },
    tell: tellArrived,
  },
}

/** What the reader is to do about a sample that has lapsed; nothing where it is replaced, or never owed. */
function replacing(
  row: SampleDossier['row'],
  when: string,
  reader: AtOnceReader,
): Pick<TurnWords, 'next' | 'isTheirs' | 'asksToCut'> {
  const { code, purpose, replacedBy } = row
  if (!isToBeReplaced(row)) {
    const because =
      replacedBy === null
        ? `has lapsed, and no duty asks for a ${purpose} sample`
        : 'has lapsed, and is replaced'
    const { isTheirs, asksToCut, ...see } = seeing(row, because)
    return { next: { ...see, when }, isTheirs, asksToCut }
  }
  const kit = displayCode(code)
  const replace = replaceWords(kit, row, reader)
  return {
    next: {
      act: capitalised(replace ?? `see ${kit}`),
      path: reader.isAdministrator ? replacementPath({ ...row, sample: code }) : recordPath(code, null),
      because: 'is to be replaced by a kit that the programme issues, unless it rules otherwise',
      when,
    },
    isTheirs: replace !== null,
    asksToCut: !reader.isAdministrator && replace !== null,
  }
}

/** What the reader is to do next about an open sample of which a limit is running. */
function nextAct(row: SampleDossier['row'], reader: AtOnceReader) {
  const kit = displayCode(row.code)
  const step = nextStep(row.stage, row.binding?.limit.to ?? null)
  if (step === null) return seeing(row, 'has been reported')
  const { by, because, record } = step
  const isTheirs = by === null || hasToAct({ by, code: row[by] }, reader)
  return {
    act: capitalised(stepWords(step, kit, isTheirs) + (isTheirs ? andRecord(step) : '')),
    path: recordPath(row.code, isTheirs ? record : null),
    because,
    isTheirs,
    asksToCut: isTheirs && record === 'collected',
  }
}

function seeing({ code }: SampleDossier['row'], because: string) {
  const act = `See ${displayCode(code)}`
  return { act, path: recordPath(code, null), because, isTheirs: false, asksToCut: false }
}

function endOf(
  { dueAt }: { dueAt: number | null },
  { laboratoryZone }: SampleDossier['row'],
  plant: { zone: string },
  words: DateWords,
): string {
  return words.ends(dueAt as number, [laboratoryZone, plant.zone])
}

function limitEnds(dueAt: number | null, zones: [string, string], words: DateWords): string | null {
  return dueAt === null ? null : `its limit ends ${words.ends(dueAt, zones)}`
}

const limitName = (name: string) => `“${name}”`
