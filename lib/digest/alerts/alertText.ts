import type { AlertKind } from '@/lib/judgement/alertKinds'
import { formatKitCode } from '@/lib/judgement/dueText'
import {
  describeOpening,
  describeReplacement,
  describeStep,
  findNextStep,
  needsReplacement,
} from '@/lib/judgement/nextStep'
import { recordPath, replacementPath } from '@/lib/judgement/resolutionPath'
import { isResponsible } from '@/lib/judgement/responsibility'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { DateFormat } from '../weekly/dateFormat'
import { formatChance } from '../weekly/lineText'

export type AlertReader = Pick<
  DigestPerson,
  'language' | 'zone' | 'isAdministrator' | 'plants' | 'laboratories'
>

/** The same said of one sample, and of several alike, as sentences. */
interface OneOrSeveral {
  one: string
  several: string
}

/** What an alert says of one sample. */
export interface AlertText {
  why: OneOrSeveral
  /** What to do, without a full stop, how the sample stands, and when its limit ends. */
  next: { act: string; path: string; because: OneOrSeveral; when: string | null }
  /** Whether it is the reader's to do. */
  isTheirs: boolean
  asksToCut: boolean
}

/** Describes the change of a sample; null if it no longer holds. */
type DescribeAlert = (
  t: Translate,
  dossier: SampleDossier,
  dates: DateFormat,
  reader: AlertReader,
) => AlertText | null

interface AlertRow {
  /** The label of the choice to be alerted. */
  choice: Extract<MessageKey, `alert.choice.${string}`>
  /** The headline for {count} samples, of which {samples} lists the codes. */
  headline: Extract<MessageKey, `alert.${string}.headline`>
  describe: DescribeAlert
}

const describeAtRisk: DescribeAlert = (t, { row, plant }, dates, reader) => {
  const { binding, forecast, standing, replacedBy } = row
  if (standing !== 'at risk' || replacedBy !== null || !binding) return null
  const isAtLaboratory = isResponsible({ by: 'laboratory', code: row.laboratory }, reader)
  const { asksToCut, isTheirs: _, ...next } = describeNextAct(t, row, reader)
  return {
    why: forOneOrSeveral((count) =>
      [
        t('alert.atRisk.why', { count, limit: binding.limit.name }),
        ...(forecast ? [t('alert.atRisk.chance', { chance: formatChance(t, forecast.risk) })] : []),
        ...(forecast?.needsOpening ? [describeOpening(t, isAtLaboratory, count)] : []),
      ].join(' '),
    ),
    next: { ...next, when: formatLimitEnd(t, 'alert.limitEnds', binding.dueAt, row, plant, dates) },
    // A reader who cannot do it has to ask the plant or the laboratory.
    isTheirs: true,
    asksToCut,
  }
}

const describeLapsed: DescribeAlert = (t, { row, plant }, dates, reader) => {
  const { lapsed, replacedBy } = row
  if (!lapsed || replacedBy !== null) return null
  const when = formatLimitEnd(t, 'alert.limitEnded', lapsed.dueAt, row, plant, dates)
  return {
    why: forOneOrSeveral((count) => t('alert.lapsed.why', { count, limit: lapsed.limit.name })),
    ...describeReplacing(t, row, when, reader),
  }
}

const describeArrived: DescribeAlert = (t, { row, plant, laboratory }, dates, reader) => {
  const received = row.milestones.find(({ milestone }) => milestone === 'received')
  if (!received) return null
  const { binding, lapsed, laboratoryZone } = row
  const day = dates.day(received.at, laboratoryZone)
  const why = forOneOrSeveral((count) => t('alert.arrived.why', { count, laboratory: laboratory.name, day }))
  if (lapsed) {
    const when = formatLimitEnd(t, 'alert.limitEnded', lapsed.dueAt, row, plant, dates)
    return { why, ...describeReplacing(t, row, when, reader) }
  }
  const act = binding
    ? describeNextAct(t, row, reader)
    : describeNoAct(t, row, formatBecause(t, 'alert.because.noLimit'))
  const { isTheirs, asksToCut: _, ...next } = act.isTheirs ? act : describeNoAct(t, row, act.because)
  return {
    why,
    next: {
      ...next,
      when: binding && formatLimitEnd(t, 'alert.limitEnds', binding.dueAt, row, plant, dates),
    },
    isTheirs,
    asksToCut: false,
  }
}

export const ALERTS: Readonly<Record<AlertKind, AlertRow>> = {
  'at risk': {
    choice: 'alert.choice.atRisk',
    headline: 'alert.atRisk.headline',
    describe: describeAtRisk,
  },
  lapsed: {
    choice: 'alert.choice.lapsed',
    headline: 'alert.lapsed.headline',
    describe: describeLapsed,
  },
  arrived: {
    choice: 'alert.choice.arrived',
    headline: 'alert.arrived.headline',
    describe: describeArrived,
  },
}

/** What the reader is to do about a sample that has lapsed; nothing if it is replaced, or no duty asks for it. */
function describeReplacing(
  t: Translate,
  row: SampleDossier['row'],
  when: string | null,
  reader: AlertReader,
): Pick<AlertText, 'next' | 'isTheirs' | 'asksToCut'> {
  const { code, replacedBy } = row
  if (!needsReplacement(row)) {
    const key = replacedBy === null ? 'alert.because.notOwed' : 'alert.because.replaced'
    const { isTheirs, asksToCut, ...next } = describeNoAct(t, row, formatBecause(t, key))
    return { next: { ...next, when }, isTheirs, asksToCut }
  }
  const kit = formatKitCode(code)
  const replace = describeReplacement(t, kit, row, reader)
  return {
    next: {
      act: replace ?? t('alert.see', { sample: kit }),
      path: reader.isAdministrator
        ? replacementPath({ ...row, sample: code, spare: null })
        : recordPath(code, null),
      because: formatBecause(t, 'alert.because.toBeReplaced'),
      when,
    },
    isTheirs: replace !== null,
    asksToCut: !reader.isAdministrator && replace !== null,
  }
}

/** What the reader is to do next about an open sample with a limit that is running. */
function describeNextAct(t: Translate, row: SampleDossier['row'], reader: AlertReader) {
  const kit = formatKitCode(row.code)
  const step = findNextStep(row.stage, row.binding?.limit.to ?? null)
  if (step === null) return describeNoAct(t, row, formatBecause(t, 'alert.because.reported'))
  const { by, because, record, recordText } = step
  const isTheirs = by === null || isResponsible({ by, code: row[by] }, reader)
  return {
    act: isTheirs ? t(recordText, { sample: kit }) : describeStep(t, step, kit, false),
    path: recordPath(row.code, isTheirs ? record : null),
    because: formatBecause(t, because),
    isTheirs,
    asksToCut: isTheirs && record === 'collected',
  }
}

function describeNoAct(t: Translate, { code }: SampleDossier['row'], because: OneOrSeveral) {
  const act = t('alert.see', { sample: formatKitCode(code) })
  return { act, path: recordPath(code, null), because, isTheirs: false, asksToCut: false }
}

/** When a limit ends or ended: a day, if one ends with it at the laboratory or at the plant, else a time at the laboratory. */
function formatLimitEnd(
  t: Translate,
  key: 'alert.limitEnds' | 'alert.limitEnded',
  dueAt: number | null,
  { laboratoryZone }: SampleDossier['row'],
  plant: { zone: string },
  dates: DateFormat,
): string | null {
  return dueAt === null ? null : t(key, dates.end(dueAt, [laboratoryZone, plant.zone]))
}

function formatBecause(
  t: Translate,
  key: Extract<MessageKey, `step.${string}.because` | `alert.because.${string}`>,
): OneOrSeveral {
  return forOneOrSeveral((count) => t(key, { count }))
}

/** The number stands for any plural: the sentences for several name no number. */
function forOneOrSeveral(format: (count: number) => string): OneOrSeveral {
  return { one: format(1), several: format(2) }
}
