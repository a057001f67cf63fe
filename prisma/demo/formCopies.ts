import { DAY } from '@/lib/hold/zone'
import type { DemoSample } from './draftEvent'
import type { RandomStream } from './randomStream'
import type { Setting } from './setting'
import { formCopyOf } from './troubles/paperwork'
import { ownDraft } from './troubles/trouble'

/** For so many days before now plants have been asked to send a copy of each form in. */
const ASKED_FOR_DAYS = 75
const SENT_IN = 0.93

/** Gives most samples of the last weeks a copy of their form; a few plants forget it. */
export function formCopies(samples: readonly DemoSample[], setting: Setting, random: RandomStream): void {
  for (const sample of samples) {
    const left = ownDraft(sample, 'dispatched')
    if (!left || left.time.instant < setting.now - ASKED_FOR_DAYS * DAY) continue
    if (sample.drafts.some(({ kind }) => kind === 'form copy') || !random.chance(SENT_IN)) continue
    const copy = formCopyOf(sample, random)
    if (copy) sample.drafts = [...sample.drafts, copy]
  }
}
