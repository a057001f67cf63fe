import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { drawKnownAt } from '../deskTimes'
import type { DemoSample, DraftEvent } from '../draftEvent'
import type { RandomStream } from '../randomStream'
import { formatUtc } from '../wallClock'
import { writeTime } from '../writtenTime'
import { findOwnDraft, replaceDraft, restate, type Trouble } from './trouble'

type Apply = Trouble['apply']

/** The plant broke a seal and put another one on. */
export const resealed: Apply = (sample, { random }) =>
  addPlantDeviation(sample, 'sealed', random.int(25, 90), random, {
    what: 'seal broke when the box was moved',
    sealNumber: `S${random.int(10_000, 99_999)}`,
    openFor: '10 minutes',
  })

/** The plant noticed after the carrier had called. */
export const noticedTooLate: Apply = (sample, { random }) =>
  addPlantDeviation(sample, 'dispatched', random.int(20, 90), random, {
    what: 'a glove with a solvent stain was found at the cutting table',
  })

/** Customs say who releases it, and by when. Nothing has moved since. */
export const heldUntil: Apply = (sample, { setting }) => {
  const held = sample.drafts.find(({ kind }) => kind === 'held')
  if (!held) return false
  const until = formatUtc(Math.ceil((setting.now + 2 * DAY) / HOUR) * HOUR)
  const named = { ...held, facts: { by: 'the import desk of the customs office', until } }
  sample.drafts = sample.drafts
    .filter(({ kind, time }) => kind !== 'scanned' || time.instant < held.time.instant)
    .map((draft) => (draft === held ? named : draft))
  return held.time.instant < setting.now
}

/** The carrier gave it up, and brought it after all. */
export const lostButArrived: Apply = (sample, { random }) => {
  const dispatched = findOwnDraft(sample, 'dispatched')
  const received = findOwnDraft(sample, 'received')
  if (dispatched?.service === undefined || dispatched.waybill === undefined || !received) return false
  const { service, waybill } = dispatched
  const span = received.time.instant - dispatched.time.instant
  const at = Math.floor((dispatched.time.instant + 0.7 * span) / MINUTE) * MINUTE
  const lost = {
    source: `carrier feed ${service}`,
    kind: 'lost',
    service,
    waybill,
    time: writeTime(at, 'utc', 'UTC'),
    ...drawKnownAt(at, random.int(4, 60), random),
  }
  sample.drafts = [...sample.drafts, lost]
  return lost.knownAt < received.time.instant
}

/** Only the day of the cut is known, and the limit to the hand-over is kept or missed by its hour. */
export const cutByDateAlone: Apply = (sample, { setting }) => {
  const { protocol } = setting.products.get(sample.kit.product ?? '') ?? {}
  const limit = setting.protocols
    .get(protocol ?? '')
    ?.limits.find(({ from, to, unit }) => from === 'collected' && to === 'dispatched' && unit === 'hours')
  const [collected, dispatched] = [findOwnDraft(sample, 'collected'), findOwnDraft(sample, 'dispatched')]
  if (!limit || collected?.place === undefined || !dispatched) return false
  const time = writeTime(collected.time.instant, 'date at place', collected.time.timeZone)
  replaceDraft(sample, collected, { ...collected, time })
  const cutBy = dispatched.time.instant - limit.amount * HOUR
  return time.earliestAt < cutBy && cutBy <= time.latestAt
}

/** What the plant's desk found wrong itself, so many minutes after a milestone. */
function addPlantDeviation(
  sample: DemoSample,
  after: string,
  minutes: number,
  random: RandomStream,
  facts: NonNullable<DraftEvent['facts']>,
): boolean {
  const [milestone, cut] = [findOwnDraft(sample, after), findOwnDraft(sample, 'collected')]
  if (!milestone || !cut) return false
  const { lot: _lot, product: _product, ...desk } = restate(cut, milestone.time.instant + minutes * MINUTE)
  const found = {
    ...desk,
    kind: 'deviation',
    ...drawKnownAt(desk.time.instant, random.int(3, 15), random),
    facts,
  }
  sample.drafts = [...sample.drafts, found]
  return true
}
