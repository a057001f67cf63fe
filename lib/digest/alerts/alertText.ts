import type { AlertKind } from '@/lib/judgement/alertKinds'
import { formatKitCode } from '@/lib/judgement/dueText'
import {
  andRecord,
  describeOpening,
  describeReplacement,
  describeStep,
  findNextStep,
  needsReplacement,
} from '@/lib/judgement/nextStep'
import { recordPath, replacementPath } from '@/lib/judgement/resolutionPath'
import { isResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { DateFormat } from '../weekly/dateFormat'
import { formatChance } from '../weekly/lineText'

export type AlertReader = Pick<
  DigestPerson,
  'language' | 'zone' | 'isAdministrator' | 'plants' | 'laboratories'
>

/** What is told of one sample that turned. */
export interface AlertText {
  /** Why, as a sentence; and the same where it is said of several at once. */
  why: { one: string; several: string }
  /** `because` goes on from "it", or from "each". */
  next: { act: string; path: string; because: string; when: string | null }
  /** It is the reader's to do. */
  isTheirs: boolean
  asksToCut: boolean
}

/** A turn of a sample in words; null where it does not hold (any more). */
type DescribeAlert = (
  t: Translate,
  dossier: SampleDossier,
  words: DateFormat,
  reader: AlertReader,
) => AlertText | null

interface AlertRow {
  /** How it is chosen; goes on from "when a sample". */
  choice: string
  /** How it goes on from a kit's code, or from several. */
  headline: { one: string; several: string }
  describe: DescribeAlert
}

const describeAtRisk: DescribeAlert = (t, { row, plant }, words, reader) => {
  const { binding, forecast, standing, replacedBy } = row
  if (standing !== 'at risk' || replacedBy !== null || !binding) return null
  const chance = forecast ? ` The chance to miss it is put at ${formatChance(t, forecast.risk)}.` : ''
  const isDesk = isResponsible({ by: 'laboratory', code: row.laboratory }, reader)
  const opening = forecast?.needsOpening ? ` ${capitalised(describeOpening(t, isDesk))}.` : ''
  const rest = `may miss its limit, ${quoteLimit(binding.limit.name)}.${chance}${opening}`
  const { asksToCut, isTheirs: _, ...next } = describeNextAct(t, row, reader)
  return {
    why: { one: `It ${rest}`, several: `Each of them ${rest}` },
    next: { ...next, when: formatLimitEnd(binding.dueAt, [row.laboratoryZone, plant.zone], words) },
    // Whoever cannot do it is to ask whose it is.
    isTheirs: true,
    asksToCut,
  }
}

const describeLapsed: DescribeAlert = (t, { row, plant }, words, reader) => {
  const { lapsed, replacedBy } = row
  if (!lapsed || replacedBy !== null) return null
  const limit = `kept within its limit, ${quoteLimit(lapsed.limit.name)}.`
  return {
    why: { one: `It was not ${limit}`, several: `None of them was ${limit}` },
    ...describeReplacing(t, row, `its limit ended ${formatEnd(lapsed, row, plant, words)}`, reader),
  }
}

const describeArrived: DescribeAlert = (t, { row, plant, laboratory }, words, reader) => {
  const received = row.milestones.find(({ milestone }) => milestone === 'received')
  if (!received) return null
  const { binding, lapsed, laboratoryZone } = row
  const ended = lapsed && `its limit ended ${formatEnd(lapsed, row, plant, words)}`
  const next = binding ? describeNextAct(t, row, reader) : describeNoAct(row, 'has no limit that is running')
  const { isTheirs, asksToCut: _, ...told } = next.isTheirs ? next : describeNoAct(row, next.because)
  const day = words.day(received.at, laboratoryZone)
  return {
    why: {
      one: `${laboratory.name} received it on ${day}.`,
      several: `${laboratory.name} received them on ${day}.`,
    },
    ...(ended
      ? describeReplacing(t, row, ended, reader)
      : {
          next: {
            ...told,
            when: binding && formatLimitEnd(binding.dueAt, [laboratoryZone, plant.zone], words),
          },
          isTheirs,
          asksToCut: false,
        }),
  }
}

/** Each kind of turn of a sample that can be told at once. */
export const ALERTS: Readonly<Record<AlertKind, AlertRow>> = {
  'at risk': {
    choice: 'turns at risk of missing its limit',
    headline: { one: 'is at risk', several: 'are at risk' },
    describe: describeAtRisk,
  },
  lapsed: {
    choice: 'lapses',
    headline: { one: 'has lapsed', several: 'have lapsed' },
    describe: describeLapsed,
  },
  arrived: {
    choice: 'arrives at the laboratory',
    headline: { one: 'has arrived', several: 'have arrived' },
    describe: describeArrived,
  },
}

/** What the reader is to do about a sample that has lapsed; nothing where it is replaced, or never owed. */
function describeReplacing(
  t: Translate,
  row: SampleDossier['row'],
  when: string,
  reader: AlertReader,
): Pick<AlertText, 'next' | 'isTheirs' | 'asksToCut'> {
  const { code, purpose, replacedBy } = row
  if (!needsReplacement(row)) {
    const because =
      replacedBy === null
        ? `has lapsed, and no duty asks for a ${purpose} sample`
        : 'has lapsed, and is replaced'
    const { isTheirs, asksToCut, ...see } = describeNoAct(row, because)
    return { next: { ...see, when }, isTheirs, asksToCut }
  }
  const kit = formatKitCode(code)
  const replace = describeReplacement(t, kit, row, reader)
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
function describeNextAct(t: Translate, row: SampleDossier['row'], reader: AlertReader) {
  const kit = formatKitCode(row.code)
  const step = findNextStep(row.stage, row.binding?.limit.to ?? null)
  if (step === null) return describeNoAct(row, 'has been reported')
  const { by, because, record } = step
  const isTheirs = by === null || isResponsible({ by, code: row[by] }, reader)
  return {
    act: capitalised(describeStep(t, step, kit, isTheirs) + (isTheirs ? andRecord(t, step) : '')),
    path: recordPath(row.code, isTheirs ? record : null),
    because,
    isTheirs,
    asksToCut: isTheirs && record === 'collected',
  }
}

function describeNoAct({ code }: SampleDossier['row'], because: string) {
  const act = `See ${formatKitCode(code)}`
  return { act, path: recordPath(code, null), because, isTheirs: false, asksToCut: false }
}

function formatEnd(
  { dueAt }: { dueAt: number | null },
  { laboratoryZone }: SampleDossier['row'],
  plant: { zone: string },
  words: DateFormat,
): string {
  return words.ends(dueAt as number, [laboratoryZone, plant.zone])
}

function formatLimitEnd(dueAt: number | null, zones: [string, string], words: DateFormat): string | null {
  return dueAt === null ? null : `its limit ends ${words.ends(dueAt, zones)}`
}

const quoteLimit = (name: string) => `“${name}”`
