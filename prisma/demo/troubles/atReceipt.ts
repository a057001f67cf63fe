import type { Condition, Fault } from '@/lib/custody/condition'
import { HOUR, MINUTE } from '@/lib/hold/zone'
import { drawDeskTime, drawKnownAt, drawOfficeTime } from '../deskTimes'
import type { DemoSample, DraftEvent } from '../draftEvent'
import { WELL } from '../reporting'
import { draftWithdrawal } from './corrections'
import { draftOfficeEvent } from './paperwork'
import { findOwnDraft, replaceDraft, restate, type Trouble, type TroubleContext } from './trouble'

type Apply = Trouble['apply']

/** Left in the sun with its seal open; waits for a ruling. */
export const hotAndOpen: Apply = (sample) =>
  tellCondition(sample, { seal: 'broken', packaging: 'damaged', temperature: 61 }) !== undefined

/** Only the form was not in the box. */
export const withoutForm: Apply = (sample) => tellCondition(sample, { form: 'missing' }) !== undefined

/** A wet box, used with a note on the report. */
export const wetButUsed: Apply = (sample, around) =>
  ruleOnReceipt(sample, around, { packaging: 'wet' }, ['packaging'], {
    ruling: 'use with a note',
    reason: 'the bag inside is dry and airtight',
  })

/** Two faults, one ruling on both: to be cut again. */
export const tornAndCutAgain: Apply = (sample, around) =>
  ruleOnReceipt(sample, around, { airtight: false, specimen: 'damaged' }, ['airtight', 'specimen'], {
    ruling: 'cut again',
    reason: 'open for an unknown time, and a corner is missing',
  })

/** The same, and the retained piece of the lot takes its place. */
export const replacedByRetained: Apply = (sample, around) => {
  const retained = around.siblings.find(({ kit }) => kit.purpose === 'retained')
  if (!retained || !tornAndCutAgain(sample, around)) return false
  const ruledAt = sample.drafts.find(({ kind }) => kind === 'ruling')?.time.instant ?? 0
  const facts = { kit: retained.kit.code }
  sample.drafts = [
    ...sample.drafts,
    draftOfficeEvent(sample, 'replaced by', ruledAt + 12 * MINUTE, around, facts),
  ]
  return true
}

/** The desk took another box's seal for this one's, and says so. */
export const sealWasIntact: Apply = (sample, { random }) => {
  const told = tellCondition(sample, { seal: 'broken' })
  if (!told) return false
  const knownAt = drawDeskTime(told.knownAt + random.int(20, 150) * MINUTE, told.time.timeZone, random)
  const takenBack = draftWithdrawal(told, knownAt, 'the broken seal is that of the box beside it')
  sample.drafts = [...sample.drafts, { ...takenBack, faults: ['seal'] }]
  return true
}

/** Rejected at the desk for another box's fault, which it took back. */
export const rejectionTakenBack: Apply = (sample, { random }) => {
  const received = findOwnDraft(sample, 'received')
  if (!received) return false
  const { facts: _, ...desk } = restate(received, received.time.instant + random.int(20, 70) * MINUTE)
  const rejected = {
    ...desk,
    kind: 'rejected',
    ...drawKnownAt(desk.time.instant, random.int(1, 9), random),
    facts: { reason: 'piece too small' },
  }
  const outAt = drawDeskTime(rejected.knownAt + 2 * HOUR, received.time.timeZone, random)
  const wrong = { ...rejected, outAt }
  const takenBack = draftWithdrawal(wrong, outAt, 'measured again, large enough')
  sample.drafts = [...sample.drafts, wrong, takenBack]
  return true
}

/** The receipt with this instead of the usual answers; undefined if the sample has none of its own. */
function tellCondition(sample: DemoSample, found: Condition): DraftEvent | undefined {
  const received = findOwnDraft(sample, 'received')
  if (!received) return undefined
  const told = { ...received, facts: { condition: { ...WELL, temperature: 21.5, ...found } } }
  replaceDraft(sample, received, told)
  return told
}

function ruleOnReceipt(
  sample: DemoSample,
  around: TroubleContext,
  found: Condition,
  faults: readonly Fault[],
  facts: { ruling: string; reason: string },
): boolean {
  const told = tellCondition(sample, found)
  if (!told) return false
  const at = drawOfficeTime(told.knownAt, around.random)
  const ruled = { ...draftOfficeEvent(sample, 'ruling', at, around, facts), rulingOn: told, faults }
  sample.drafts = [...sample.drafts, ruled]
  return true
}
