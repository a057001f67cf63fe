import type { DemoSample, DraftEvent } from '../draftEvent'
import type { RandomStream } from '../randomStream'
import type { Setting } from '../setting'
import { writtenTime } from '../writtenTime'

/** One way in which the word about a sample goes wrong, and how many samples it befalls. */
export interface Trouble {
  settled: number
  open: number
  /** Replaces the sample's (or its sibling's) drafts or kit; false, with nothing changed, where it cannot befall it. */
  befall(sample: DemoSample, around: Around): boolean
}

export interface Around {
  /** The other samples of the batch. */
  siblings: DemoSample[]
  /** Whether the sample is open now. */
  isOpen: boolean
  random: RandomStream
  setting: Setting
}

/** The sample's own draft of a kind, not one about its whole consignment. */
export function ownDraft(sample: DemoSample, ...kinds: string[]): DraftEvent | undefined {
  return sample.drafts.find((draft) => draft.sample !== undefined && kinds.includes(draft.kind))
}

/** The same event said to have happened at another instant (ms UTC), written in the same manner. */
export function restated(draft: DraftEvent, instant: number): DraftEvent {
  return { ...draft, time: writtenTime(instant, draft.time.form, draft.time.timeZone) }
}

export function replaced(sample: DemoSample, old: DraftEvent, ...by: DraftEvent[]): void {
  sample.drafts = sample.drafts.flatMap((draft) => (draft === old ? by : [draft]))
}
