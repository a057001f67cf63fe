import { isCutting } from '@/lib/judgement/acts'
import { findActFor, nameAct } from '@/lib/judgement/actText'
import type { AlertKind } from '@/lib/judgement/alertKinds'
import { formatKitCode } from '@/lib/judgement/dueText'
import type { Judgement } from '@/lib/judgement/judge'
import type { NextAct } from '@/lib/judgement/nextAct'
import { actPath, recordPath } from '@/lib/judgement/resolutionPath'
import { isResponsible } from '@/lib/judgement/responsibility'
import { describeRestraint } from '@/lib/judgement/restraintText'
import type { Message, MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { DateFormat } from '../weekly/dateFormat'
import { formatChance } from '../weekly/lineText'
import { hashFinding } from './alertOccasion'

export type AlertReader = Pick<
  DigestPerson,
  'language' | 'zone' | 'isAdministrator' | 'plants' | 'laboratories'
>

/** A sample with a change. */
export interface AlertSample {
  kind: AlertKind
  dossier: SampleDossier
  judgement: Judgement
  /** Which changes of this kind: hashes of the keys of findings. */
  instances: readonly string[]
}

/** The same said of one sample, and of several alike, as sentences; null where it can only be said of each. */
interface OneOrSeveral {
  one: string
  several: string | null
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
  sample: AlertSample,
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

const describeAtRisk: DescribeAlert = (t, sample, dates, reader) => {
  const { binding, forecast, standing, replacedBy } = sample.dossier.row
  if (standing !== 'at risk' || replacedBy !== null || !binding) return null
  const next = describeNext(t, sample, 'alert.limitEnds', binding.dueAt, dates, reader)
  const act = findActFor(sample.judgement, reader)
  return {
    why: forOneOrSeveral((count) =>
      [
        t('alert.atRisk.why', { count, limit: binding.limit.name }),
        ...(forecast ? [t('alert.atRisk.chance', { chance: formatChance(t, forecast.risk) })] : []),
      ].join(' '),
    ),
    ...next,
    next:
      next.isTheirs || act === null
        ? next.next
        : { ...next.next, act: nameAct(t, 'askText', act, formatKitCode(sample.dossier.row.code)) },
    // A reader who cannot do it has to ask the plant or the laboratory.
    isTheirs: act !== null,
  }
}

const describeLapsed: DescribeAlert = (t, sample, dates, reader) => {
  const { lapsed, replacedBy } = sample.dossier.row
  if (!lapsed || replacedBy !== null || sample.judgement.acts.length === 0) return null
  const described = describeNext(t, sample, 'alert.limitEnded', lapsed.dueAt, dates, reader)
  const act = findActFor(sample.judgement, reader)
  return {
    why: forOneOrSeveral((count) => t('alert.lapsed.why', { count, limit: lapsed.limit.name })),
    ...described,
    // That it lapsed is said already.
    next: {
      ...described.next,
      because: { one: (act && describeRestraint(t, sample.judgement, act.actor)) ?? '', several: null },
    },
  }
}

const describeArrived: DescribeAlert = (t, sample, dates, reader) => {
  const { row, laboratory } = sample.dossier
  const { binding, lapsed, laboratoryZone } = row
  const received = row.milestones.find(({ milestone }) => milestone === 'received')
  if (!received) return null
  const day = dates.day(received.at, laboratoryZone)
  return {
    why: forOneOrSeveral((count) => t('alert.arrived.why', { count, laboratory: laboratory.name, day })),
    ...(lapsed
      ? describeNext(t, sample, 'alert.limitEnded', lapsed.dueAt, dates, reader)
      : describeNext(t, sample, 'alert.limitEnds', binding?.dueAt ?? null, dates, reader)),
  }
}

const describeHold: DescribeAlert = (t, sample, dates, reader) => {
  const { dossier, judgement, instances } = sample
  const found = findFound(judgement)
  const isWaiting = dossier.sample.findings.some(
    ({ keys, grade, decision }) =>
      grade === 'hold' && decision === null && keys.some((key) => instances.includes(hashFinding(key))),
  )
  if (!isWaiting || found === null) return null
  // What has nothing to do with the finding is for other mails to ask.
  const acts = judgement.acts.filter(
    ({ act, milestone }) => act !== 'send the form copy' && milestone === null,
  )
  return {
    why: forOneOrSeveral((count) => t('alert.hold.why', { count })),
    ...describeNext(
      t,
      { ...sample, judgement: { ...judgement, acts } },
      'alert.limitEnds',
      dossier.row.binding?.dueAt ?? null,
      dates,
      reader,
    ),
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
  hold: {
    choice: 'alert.choice.hold',
    headline: 'alert.hold.headline',
    describe: describeHold,
  },
}

/** What the judgement asks of the reader; the sample's page where it asks for nothing of theirs. */
function describeNext(
  t: Translate,
  sample: AlertSample,
  limit: 'alert.limitEnds' | 'alert.limitEnded',
  dueAt: number | null,
  dates: DateFormat,
  reader: AlertReader,
): Omit<AlertText, 'why'> {
  const { dossier, judgement } = sample
  const { code, plant, laboratory, product, service } = dossier.row
  const act = findActFor(judgement, reader)
  const isTheirs = act !== null && isResponsible(act.actor, reader)
  return {
    next: {
      act: isTheirs
        ? nameAct(t, 'recordText', act, formatKitCode(code))
        : t('alert.see', { sample: formatKitCode(code) }),
      path: isTheirs
        ? actPath(act, { sample: code, plant, laboratory, product, service }, reader)
        : recordPath(code, null),
      because: describeBecause(t, act, judgement),
      when: formatLimitEnd(t, limit, dueAt, dossier, dates),
    },
    isTheirs,
    asksToCut: isTheirs && isCutting(act.act),
  }
}

/** Why something is asked for, and what must not be done meanwhile. */
function describeBecause(t: Translate, act: NextAct | null, judgement: Judgement): OneOrSeveral {
  if (act === null) return forOneOrSeveral((count) => t('alert.because.nothing', { count }))
  const found = findFound(judgement)
  const restraint = describeRestraint(t, judgement, act.actor)
  const sentences = [found && t.message(found), t.message(act.why), restraint]
  const one = [...new Set(sentences.filter((sentence) => sentence !== null))].join(' ')
  // Only what is said with a number can be said of several.
  const isCounted = found === null && restraint === null && 'count' in act.why.values
  const { key, values } = act.why
  return { one, several: isCounted ? t.message({ key, values: { ...values, count: 2 } }) : null }
}

/** What was found and waits for a ruling, as a sentence. */
function findFound({ acts }: Judgement): Message | null {
  return acts.find(({ findings }) => findings.length > 0)?.why ?? null
}

/** When a limit ends or ended: a day, if one ends with it at the laboratory or at the plant, else a time at the laboratory. */
function formatLimitEnd(
  t: Translate,
  key: 'alert.limitEnds' | 'alert.limitEnded',
  dueAt: number | null,
  { row, plant }: SampleDossier,
  dates: DateFormat,
): string | null {
  return dueAt === null ? null : t(key, dates.end(dueAt, [row.laboratoryZone, plant.zone]))
}

/** The number stands for any plural: the sentences for several name no number. */
function forOneOrSeveral(format: (count: number) => string): OneOrSeveral {
  return { one: format(1), several: format(2) }
}
