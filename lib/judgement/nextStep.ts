import type { Milestone } from '@/lib/hold/milestone'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { ActMessage } from '@/lib/schedule/act'
import { isOwed } from '@/lib/schedule/dutySamples'
import type { ActingRoles } from './responsibility'

/** What a sample waits for. Mails and pages share its messages. */
export interface NextStep {
  /** Who does it; null if anyone may ask the carrier, the programme first. */
  by: 'plant' | 'laboratory' | null
  /** Shown to its actor: "Cut 7KQ2-M94Y". */
  text: ActMessage
  /** The same with what to record. */
  recordText: ActMessage
  /** Shown to others: "Ask the plant to cut 7KQ2-M94Y". */
  askText: ActMessage
  /** How one sample or several ({count}) stand until then, as a sentence. */
  because: Extract<MessageKey, `step.${string}.because`>
  /** What is recorded once it is done; null where nothing is. */
  record: Milestone | null
}

const CUT: NextStep = {
  by: 'plant',
  text: 'act.cut.do',
  recordText: 'act.cut.record',
  askText: 'act.cut.ask',
  because: 'step.cut.because',
  record: 'collected',
}
const HAND_OVER: NextStep = {
  by: 'plant',
  text: 'act.handOver.do',
  recordText: 'act.handOver.record',
  askText: 'act.handOver.ask',
  because: 'step.handOver.because',
  record: 'dispatched',
}
const ASK_CARRIER: NextStep = {
  by: null,
  text: 'act.carrier.do',
  recordText: 'act.carrier.do',
  askText: 'act.carrier.do',
  because: 'step.carrier.because',
  record: null,
}
const RECEIVE: NextStep = {
  by: 'laboratory',
  text: 'act.receive.do',
  // To log a receipt is to record it.
  recordText: 'act.receive.do',
  askText: 'act.receive.ask',
  because: 'step.receive.because',
  record: 'received',
}
const CONDITION: NextStep = {
  by: 'laboratory',
  text: 'act.condition.do',
  recordText: 'act.condition.record',
  askText: 'act.condition.ask',
  because: 'step.condition.because',
  record: 'conditioned',
}
const LOAD: NextStep = {
  by: 'laboratory',
  text: 'act.load.do',
  recordText: 'act.load.record',
  askText: 'act.load.ask',
  because: 'step.load.because',
  record: 'loaded',
}
const REPORT: NextStep = {
  by: 'laboratory',
  text: 'act.report.do',
  recordText: 'act.report.record',
  askText: 'act.report.ask',
  because: 'step.report.because',
  record: 'reported',
}

const STEPS: Record<Milestone | 'none', NextStep | null> = {
  none: CUT,
  produced: CUT,
  collected: HAND_OVER,
  sealed: HAND_OVER,
  dispatched: ASK_CARRIER,
  delivered: RECEIVE,
  received: LOAD,
  conditioned: LOAD,
  loaded: REPORT,
  reported: null,
}

/**
 * The next step of an open sample by its last milestone (null: none yet), toward the milestone that its limit waits for;
 * null where nothing more is to be done.
 */
export function findNextStep(stage: Milestone | null, awaited: Milestone | null): NextStep | null {
  if (stage === 'received' && awaited === 'conditioned') return CONDITION
  return STEPS[stage ?? 'none']
}

/** What someone is to do about a step: it, where it is theirs or anyone's, else to ask whose it is. `sample` may be "it". */
export function describeStep(
  t: Translate,
  { by, text, askText }: NextStep,
  sample: string,
  isTheirs: boolean,
): string {
  return t(by === null || isTheirs ? text : askText, { sample })
}

/** The usual order of reports, in which nobody waits for the carrier's. */
const NEXT: Record<Milestone | 'none', Milestone | null> = {
  none: 'collected',
  produced: 'collected',
  collected: 'sealed',
  sealed: 'dispatched',
  dispatched: 'received',
  delivered: 'received',
  received: 'conditioned',
  conditioned: 'loaded',
  loaded: 'reported',
  reported: null,
}

/** The milestone that is most likely to be reported next of a sample; null where it ended or is reported. */
export function findLikelyNext(sample: { stage: Milestone | null; ending: string | null }): Milestone | null {
  return sample.ending === null ? NEXT[sample.stage ?? 'none'] : null
}

/** A sample that proves nothing any more. */
interface FailedSample {
  plant: string
  purpose: string
  /** Code of the kit that replaces it. */
  replacedBy: string | null
}

/** Whether a sample that proves nothing any more has to be replaced: a duty asks for it, and no kit replaces it yet. */
export function needsReplacement({ purpose, replacedBy }: Omit<FailedSample, 'plant'>): boolean {
  return isOwed(purpose) && replacedBy === null
}

/**
 * What someone is to do about a sample that proves nothing any more; null where it is not to be replaced, or where they
 * wait for others. `sample` is its kit code, "it", or "each" of several.
 */
export function describeReplacement(
  t: Translate,
  sample: string,
  failed: FailedSample,
  reader: ActingRoles,
): string | null {
  if (!needsReplacement(failed)) return null
  if (reader.isAdministrator) return t('act.replace.do', { sample })
  return reader.plants.includes(failed.plant) ? t('act.cutAgain.do', { sample }) : null
}
