import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { drawDeskTime } from '../deskTimes'
import type { DraftEvent } from '../draftEvent'
import type { RandomStream } from '../randomStream'
import { draftDockScan } from '../reporting'
import { drawTypedCode } from '../typedCodes'
import { findOwnDraft, replaceDraft, restate, type Trouble, type TroubleContext } from './trouble'

const SLIPS = [
  { by: -12 * HOUR, why: 'morning typed for afternoon' },
  { by: 12 * HOUR, why: 'afternoon typed for morning' },
  { by: -DAY, why: 'day before typed' },
  { by: -HOUR, why: 'clock on the wall an hour behind' },
  { by: HOUR, why: 'clock on the wall an hour ahead' },
]

/** A wrong time, corrected by a second event. */
export const wrongTime: Trouble = {
  settled: 70,
  open: 3,
  apply(sample, { random }) {
    const draft = findOwnDraft(
      sample,
      random.pick(['collected', 'sealed', 'dispatched', 'received', 'conditioned', 'loaded']),
    )
    const slip = random.pick(SLIPS)
    if (!draft || draft.time.form === 'date at place' || draft.time.instant + slip.by > draft.knownAt)
      return false
    const knownAt = drawNoticedAt(draft, 40, 2_000, random)
    const wrong = { ...restate(draft, draft.time.instant + slip.by), outAt: knownAt }
    const right = { ...draft, knownAt, corrects: wrong, facts: { ...draft.facts, correction: slip.why } }
    replaceDraft(sample, draft, wrong, right)
    return true
  },
}

/** An event reported for another kit of the same batch, withdrawn there and reported again for the right one. */
export const wrongKit: Trouble = {
  settled: 12,
  open: 1,
  apply(sample, { random, siblings }) {
    const draft = findOwnDraft(sample, random.pick(['collected', 'sealed', 'conditioned', 'loaded']))
    if (!draft || siblings.length === 0) return false
    const other = random.pick(siblings)
    const noticedAt = drawNoticedAt(draft, 30, 900, random)
    const wrong = { ...draft, sample: drawTypedCode(other.kit.code, random), outAt: noticedAt }
    const withdrawn = draftWithdrawal(wrong, noticedAt, 'wrong kit')
    other.drafts = [...other.drafts, wrong, withdrawn]
    replaceDraft(sample, draft, { ...draft, knownAt: noticedAt + 3 * MINUTE })
    return true
  },
}

/** The same slip, corrected in one step: the event of the right kit corrects that of the wrong one. */
export const wrongKitInOneStep: Trouble = {
  settled: 6,
  open: 0,
  apply(sample, { random, siblings }) {
    const draft = findOwnDraft(sample, random.pick(['sealed', 'conditioned', 'loaded']))
    if (!draft || siblings.length === 0) return false
    const other = random.pick(siblings)
    const knownAt = drawNoticedAt(draft, 30, 900, random)
    const wrong = { ...draft, sample: other.kit.code, outAt: knownAt }
    other.drafts = [...other.drafts, wrong]
    replaceDraft(sample, draft, { ...draft, knownAt, corrects: wrong })
    return true
  },
}

/** A scan of another parcel at the laboratory's dock, withdrawn. */
export const withdrawnScan: Trouble = {
  settled: 30,
  open: 1,
  apply(sample, around) {
    const dispatched = findOwnDraft(sample, 'dispatched')
    const received = sample.drafts.find(({ kind }) => kind === 'received')
    const dayBefore = (received?.time.instant ?? 0) - DAY
    if (!dispatched || dayBefore < dispatched.time.instant + 6 * HOUR) return false
    const scan = draftLaboratoryScan(sample.kit.code, sample.kit.laboratory, dayBefore, around)
    if (!scan) return false
    const noticedAt = drawNoticedAt(scan, 20, 300, around.random)
    const wrong = { ...scan, outAt: noticedAt }
    sample.drafts = [...sample.drafts, wrong, draftWithdrawal(wrong, noticedAt, 'another parcel')]
    return true
  },
}

/** Two sources, each of which corrects the other. */
export const loopOfCorrections: Trouble = {
  settled: 2,
  open: 0,
  apply(sample, around) {
    const received = findOwnDraft(sample, 'received')
    if (!received) return false
    const { code, laboratory } = sample.kit
    const scan = draftLaboratoryScan(code, laboratory, received.time.instant - 25 * MINUTE, around)
    if (!scan) return false
    const [one, two]: [DraftEvent, DraftEvent] = [{ ...received }, scan]
    one.corrects = two
    two.corrects = one
    replaceDraft(sample, received, one, two)
    return true
  },
}

/** When a slip is noticed: some minutes after it was written down, while its desk is staffed (ms UTC). */
function drawNoticedAt(
  { knownAt, time }: DraftEvent,
  least: number,
  most: number,
  random: RandomStream,
): number {
  return drawDeskTime(knownAt + random.int(least, most) * MINUTE, time.timeZone, random)
}

function draftLaboratoryScan(
  code: string,
  laboratory: string,
  at: number,
  { random, setting }: TroubleContext,
): DraftEvent | undefined {
  const zone = setting.laboratories.get(laboratory)?.entry.zone
  return zone ? { kind: 'received', sample: code, ...draftDockScan(laboratory, zone, at, random) } : undefined
}

/** A report that withdraws another, or with `faults` the one that this names. */
export function draftWithdrawal(wrong: DraftEvent, knownAt: number, why: string): DraftEvent {
  const instant = Math.floor(knownAt / MINUTE) * MINUTE
  const form = wrong.time.form === 'date at place' ? 'local at place' : wrong.time.form
  const { time } = restate({ ...wrong, time: { ...wrong.time, form } }, instant)
  const { source, sample, place } = wrong
  return {
    source,
    kind: 'withdrawn',
    ...(sample !== undefined && { sample }),
    ...(place !== undefined && { place }),
    time,
    knownAt,
    isKnownAtSent: wrong.isKnownAtSent,
    corrects: wrong,
    facts: { reason: why },
  }
}
