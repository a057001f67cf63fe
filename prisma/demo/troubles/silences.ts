import type { Milestone } from '@/lib/hold/milestone'
import { drawKnownAt } from '../deskTimes'
import type { DemoSample } from '../draftEvent'
import { findOwnDraft, replaceDraft, type Trouble, type TroubleContext } from './trouble'

/** Nobody reported when the bag was closed. */
export const sealedNeverReported: Trouble = {
  settled: 60,
  open: 1,
  apply(sample, around) {
    const draft = findOwnDraft(sample, 'sealed')
    if (!draft || !findOwnDraft(sample, 'dispatched') || !isMissed('sealed', sample, around)) return false
    replaceDraft(sample, draft)
    return true
  },
}

/**
 * Nobody reported the hand-over, so the carrier's events about its consignment never reach the sample. Drops the
 * carrier's events of a consignment without a known dispatch.
 */
export const dispatchNeverReported: Trouble = {
  settled: 50,
  open: 2,
  apply(sample, around) {
    const dispatched = findOwnDraft(sample, 'dispatched')
    const received = sample.drafts.find(({ kind }) => kind === 'received')
    if (!dispatched || !received || !isMissed('dispatched', sample, around)) return false
    const { service: _service, waybill: _waybill, ...ownReceipt } = received
    const alone = {
      ...ownReceipt,
      sample: sample.kit.code,
      ...drawKnownAt(received.time.instant, 30, around.random),
    }
    const heard = sample.drafts.filter((draft) => draft.sample !== undefined && draft.kind !== 'received')
    sample.drafts = [...heard.filter((draft) => draft !== dispatched), alone]
    return true
  },
}

/**
 * Whether a limit of an open sample needs the milestone, so that someone will be asked for it; always true for a
 * settled one.
 */
function isMissed(milestone: Milestone, { kit }: DemoSample, { setting, isOpen }: TroubleContext): boolean {
  const protocol = setting.protocols.get(setting.products.get(kit.product ?? '')?.protocol ?? '')
  return !isOpen || (protocol?.limits.some(({ from, to }) => from === milestone || to === milestone) ?? false)
}
