import type { DemoSample, DraftEvent } from '../draftEvent'
import type { RandomStream } from '../randomStream'
import type { Setting } from '../setting'
import { writeTime } from '../writtenTime'

/** One way in which the word about a sample goes wrong, and how many samples it befalls. */
export interface Trouble {
  settled: number
  open: number
  /** Replaces the sample's (or its sibling's) drafts or kit; false, with nothing changed, where it cannot befall it. */
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

/** The sample's own draft of a kind, not one about its whole consignment. */
export function findOwnDraft(sample: DemoSample, ...kinds: string[]): DraftEvent | undefined {
  return sample.drafts.find((draft) => draft.sample !== undefined && kinds.includes(draft.kind))
}

/** The same event said to have happened at another instant (ms UTC), written in the same manner. */
export function restate(draft: DraftEvent, instant: number): DraftEvent {
  return { ...draft, time: writeTime(instant, draft.time.form, draft.time.timeZone) }
}

export function replaceDraft(sample: DemoSample, old: DraftEvent, ...by: DraftEvent[]): void {
  sample.drafts = sample.drafts.flatMap((draft) => (draft === old ? by : [draft]))
}
