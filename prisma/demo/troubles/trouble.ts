import type { DemoSample, DraftEvent } from '../draftEvent'
import type { RandomStream } from '../randomStream'
import type { Setting } from '../setting'
import { writeTime } from '../writtenTime'

/** One way in which reports about a sample go wrong, and how many samples get it. */
export interface Trouble {
  settled: number
  open: number
  /** Replaces drafts or kit of the sample or its sibling; false, with nothing changed, if the trouble does not fit. */
  apply(sample: DemoSample, around: TroubleContext): boolean
}

export interface TroubleContext {
  /** The other samples of the batch. */
  siblings: DemoSample[]
  /** Whether the sample is open now. */
  isOpen: boolean
  random: RandomStream
  setting: Setting
}

/** The sample's own draft of one of these kinds, not one about its consignment. */
export function findOwnDraft(sample: DemoSample, ...kinds: string[]): DraftEvent | undefined {
  return sample.drafts.find((draft) => draft.sample !== undefined && kinds.includes(draft.kind))
}

/** The same event with another instant (ms UTC), written in the same form. */
export function restate(draft: DraftEvent, instant: number): DraftEvent {
  return { ...draft, time: writeTime(instant, draft.time.form, draft.time.timeZone) }
}

export function replaceDraft(sample: DemoSample, old: DraftEvent, ...by: DraftEvent[]): void {
  sample.drafts = sample.drafts.flatMap((draft) => (draft === old ? by : [draft]))
}

/** Whether everything that a trouble added to the sample's own drafts, or removed from them, would be known by now. */
export function isKnown(before: DraftEvent[], after: DraftEvent[], setting: Setting): boolean {
  const added = after.filter((draft) => !before.includes(draft))
  const taken = before.filter((draft) => draft.sample !== undefined && !after.includes(draft))
  return [...added, ...taken].every(({ knownAt }) => knownAt <= setting.now)
}
