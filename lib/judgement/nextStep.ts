import { KINDS } from '@/lib/custody/eventKinds'
import { AT_PLANT, listMilestones, type Milestone } from '@/lib/hold/milestone'
import { english } from '@/lib/messages/english'
import type { Translate } from '@/lib/messages/translate'
import { ACTS, type ActKind, formatCarrierRequest, formatReplacementRequest } from '@/lib/schedule/act'
import { isOwed } from '@/lib/schedule/dutySamples'
import type { ActingRoles } from './responsibility'

/** What a sample waits for, in words that mails and pages share. `what` is its kit, or "it". */
export interface NextStep {
  /** At which end it is done; null where whoever cares may ask, the programme first. */
  by: 'plant' | 'laboratory' | null
  /** "cut 7KQ2-M94Y" */
  act(what: string): string
  /** How it stands until then; goes on from "it". */
  because: string
  /** What is recorded once it is done; null where nothing is. */
  record: Milestone | null
}

/** Where only that could save a sample; to whoever is not at its laboratory also what to do about it. */
export function describeOpening(t: Translate, isAtLaboratory: boolean): string {
  const what = 'only an opening out of hours could save it'
  return isAtLaboratory ? what : `${what}: ${ASK_TO_OPEN}`
}

/** What whoever is not at the laboratory can do where only an opening out of hours could save a sample. */
export const ASK_TO_OPEN = 'ask the laboratory to open'

/** The step that is an act of a test. */
function toStep(kind: Exclude<ActKind, 'post kit'>, because: string): NextStep {
  const { by, asks, milestone } = ACTS[kind]
  return { by, act: asks, because, record: milestone }
}

const CUT = toStep('cut', 'is not cut yet')
const HAND_OVER = toStep('hand over', 'is cut, and has not left')
const LOAD = toStep('load', 'has arrived, and its test has not begun')

const STEPS: Record<Milestone | 'none', NextStep | null> = {
  none: CUT,
  produced: CUT,
  collected: HAND_OVER,
  sealed: HAND_OVER,
  dispatched: {
    by: null,
    act: (one) => formatCarrierRequest(english, one),
    because: 'is under way',
    record: null,
  },
  delivered: toStep('receive', 'was delivered, as the carrier says'),
  received: LOAD,
  conditioned: LOAD,
  loaded: toStep('report', 'is in its test'),
  reported: null,
}

const CONDITION: NextStep = {
  by: 'laboratory',
  act: (what) => (what === 'it' ? 'begin its conditioning' : `begin the conditioning of ${what}`),
  because: 'has arrived, and its conditioning has not begun',
  record: 'conditioned',
}

/**
 * The next step of an open sample by its last milestone (null: none yet), toward the milestone that its limit waits for;
 * null where nothing more is to be done.
 */
export function findNextStep(stage: Milestone | null, awaited: Milestone | null): NextStep | null {
  if (stage === 'received' && awaited === 'conditioned') return CONDITION
  return STEPS[stage ?? 'none']
}

/** The last milestones of samples that lie at a plant, or at a laboratory before their test: someone has to go on. */
export const WAITS_AFTER: readonly Milestone[] = [...AT_PLANT, ...listMilestones('received', 'loaded')]

/** At which end a milestone is recorded; what is the carrier's word the plant is asked for. */
export function findRecorder(milestone: Milestone): 'plant' | 'laboratory' {
  return KINDS[milestone].reportedBy.includes('laboratory') ? 'laboratory' : 'plant'
}

/** A step as what someone is to do: it, where it is theirs or anyone's, else to ask whose it is. */
export function describeStep(t: Translate, { by, act }: NextStep, what: string, isTheirs: boolean): string {
  return by === null || isTheirs ? act(what) : `ask the ${by} to ${act(what)}`
}

/** How an act goes on that is settled by being recorded: one of its own, where the act is not that already. */
export function andRecord(t: Translate, { record }: NextStep): string {
  return record === null || record === 'received' ? '' : ' and record it'
}

/** Stages of life as someone reports them who goes by the book: what the carrier says is not waited for. */
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

/** A sample that proves nothing any more: of which plant, of what purpose, and the code of what replaces it already. */
interface FailedSample {
  plant: string
  purpose: string
  replacedBy: string | null
}

/** Whether a sample that proves nothing any more is still to be replaced: it is owed, and nothing replaces it yet. */
export function needsReplacement({ purpose, replacedBy }: Omit<FailedSample, 'plant'>): boolean {
  return isOwed(purpose) && replacedBy === null
}

/**
 * What someone is to do about a sample that proves nothing any more; null where it is not to be replaced, or where they
 * wait for others. `what` is its kit code, or "it".
 */
export function describeReplacement(
  t: Translate,
  what: string,
  failed: FailedSample,
  part: ActingRoles,
): string | null {
  if (!needsReplacement(failed)) return null
  if (part.isAdministrator) return formatReplacementRequest(t, what)
  return part.plants.includes(failed.plant) ? `cut again when the kit to replace ${what} has come` : null
}
