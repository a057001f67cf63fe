import type { Milestone } from '@/lib/hold/milestone'
import { type Message, message } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { Actor } from '@/lib/schedule/act'
import type { Judgement, Restraint } from './judge'

type Restrained = Pick<Judgement, 'restraint' | 'fitness'>

/** What must not happen to a sample under each restraint. */
const FORBIDDEN: Record<Restraint, readonly Milestone[]> = {
  'do not send': ['dispatched'],
  'do not load': ['conditioned', 'loaded'],
}

/** Every kind that a restraint can forbid. */
export const RESTRAINABLE: readonly string[] = [...Object.values(FORBIDDEN).flat(), 'reported']

/** Why an event of a kind must not happen to a sample now; null where it may. */
export function findRestraintOn(kind: string, judgement: Restrained): Message | null {
  const { restraint, fitness } = judgement
  // The report on one in question is held until the programme has ruled.
  if (kind === 'reported' && fitness === 'in question') return message('act.inQuestion.holdReport')
  const forbidden: readonly string[] = restraint === null ? [] : FORBIDDEN[restraint]
  return forbidden.includes(kind) ? getRestraintMessage(judgement) : null
}

/**
 * What must not be done with a sample meanwhile, as a sentence, beside an act of `actor`; null where nothing is forbidden. A plant
 * loads nothing.
 */
export function describeRestraint(t: Translate, judgement: Restrained, { by }: Actor): string | null {
  if (by === 'plant' && judgement.restraint === 'do not load') return null
  const found = getRestraintMessage(judgement)
  return found && t.message(found)
}

function getRestraintMessage({ restraint, fitness }: Restrained): Message | null {
  if (restraint === null) return null
  const isLoading = restraint === 'do not load'
  if (fitness === 'unfit') return message(isLoading ? 'act.unfit.doNotLoad' : 'act.unfit.doNotSend')
  return message(isLoading ? 'act.inQuestion.doNotLoad' : 'act.inQuestion.doNotSend')
}
