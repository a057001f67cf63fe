import { readCondition } from '@/lib/custody/condition'
import { DAY } from '@/lib/hold/zone'
import type { DemoSample } from './draftEvent'
import type { RandomStream } from './randomStream'
import type { Setting } from './setting'
import { draftFormCopy } from './troubles/paperwork'
import { findOwnDraft } from './troubles/trouble'

/** Days before now since when plants have been asked for a copy of each form. */
const REQUESTED_DAYS = 75
const SENT_SHARE = 0.93

/** Adds a copy of the form to most samples of these days; a few plants forget it. */
export function addFormCopies(samples: readonly DemoSample[], setting: Setting, random: RandomStream): void {
  for (const sample of samples) {
    const left = findOwnDraft(sample, 'dispatched')
    if (!left || left.time.instant < setting.now - REQUESTED_DAYS * DAY) continue
    if (sample.drafts.some(({ kind }) => kind === 'form copy') || !random.chance(SENT_SHARE)) continue
    if (isFormMissing(sample)) continue
    const copy = draftFormCopy(sample, random)
    if (copy) sample.drafts = [...sample.drafts, copy]
  }
}

/** A form that was not in the box has not been copied either. */
function isFormMissing({ drafts }: DemoSample): boolean {
  return drafts.some(
    ({ kind, facts }) => kind === 'received' && readCondition(facts ?? null).form === 'missing',
  )
}
