import type { Translate } from '@/lib/messages/translate'
import type { Judgement } from './judge'

/** What must not be done with a sample meanwhile, as a sentence; null where nothing is forbidden. */
export function describeRestraint(
  t: Translate,
  { restraint, fitness }: Pick<Judgement, 'restraint' | 'fitness'>,
): string | null {
  if (restraint === null) return null
  const isLoading = restraint === 'do not load'
  if (fitness === 'unfit') return t(isLoading ? 'act.unfit.doNotLoad' : 'act.unfit.doNotSend')
  return t(isLoading ? 'act.inQuestion.doNotLoad' : 'act.inQuestion.doNotSend')
}
