import { formatKitCode } from '@/lib/custody/kitCode'
import type { Milestone } from '@/lib/hold/milestone'
import type { Translate } from '@/lib/messages/translate'
import { SAMPLE_ACTS } from './acts'
import type { Judgement } from './judge'
import type { NextAct } from './nextAct'
import { type ActingRoles, isResponsible } from './responsibility'

/** What a reader is told of a sample: their own next act, else the one that saves most, whoever has to do it. */
export function findActFor({ acts }: Pick<Judgement, 'acts'>, reader: ActingRoles): NextAct | null {
  return acts.find(({ actor }) => isResponsible(actor, reader)) ?? acts[0] ?? null
}

/**
 * What to do: the act for whoever has to do it, and for others whom to ask. Without a full stop; `sample` is its kit code or
 * "it".
 */
export function describeAct(
  t: Translate,
  { act, actor, milestone, spare }: Pick<NextAct, 'act' | 'actor' | 'milestone' | 'spare'>,
  sample: string,
  reader: ActingRoles,
): string {
  const isTheirs = isResponsible(actor, reader)
  if (milestone !== null && sample === 'it')
    return t(`milestone.${milestone satisfies Milestone}.${isTheirs ? 'sayWhen' : 'askWhen'}`)
  return nameAct(t, isTheirs ? 'text' : 'askText', { act, spare }, sample)
}

/** An act in one of its forms. Whoever has to do it is told of the spare kit. */
export function nameAct(
  t: Translate,
  form: 'text' | 'recordText' | 'askText',
  { act, spare }: Pick<NextAct, 'act' | 'spare'>,
  sample: string,
): string {
  if (form !== 'askText' && spare !== null) {
    const kit = formatKitCode(spare)
    if (act === 'replace it') return t('act.replace.withSpare', { sample, kit })
    if (act === 'cut its replacement') return t('act.cutAgain.withSpare', { sample, kit })
  }
  return t(SAMPLE_ACTS[act][form], { sample })
}
