import type { Condition } from '@/lib/custody/condition'
import { toLocalDay } from '@/lib/hold/zone'
import { drawKnownAt } from './deskTimes'
import type { DemoSample, DraftEvent } from './draftEvent'
import type { BatchPlan, Piece, Transit, TrueJourney } from './journey'
import type { RandomStream } from './randomStream'
import type { KitEntry } from './registerDocument'
import { drawTypedCode, drawWaybill } from './typedCodes'
import { formatDate } from './wallClock'
import { type WrittenForm, writeTime } from './writtenTime'

const SIGNERS = ['line supervisor', 'quality technician', 'shift lead', 'packer']

/** What a receiving desk usually finds. */
export const WELL = { seal: 'intact', packaging: 'sound', form: 'complete' } as const satisfies Condition

/** A kit with what really happens to its sample, before anyone reports it. */
export interface JourneyOfKit {
  piece: Piece
  kit: KitEntry
  journey: TrueJourney
}

/** Turns what happened to a batch into the reports of its plant, carrier and laboratory. */
export function draftReports(
  plan: BatchPlan,
  kitJourneys: JourneyOfKit[],
  transit: Transit,
  random: RandomStream,
): DemoSample[] {
  const waybill = drawWaybill(plan.lane.service, random)
  const consignment = { service: plan.lane.service, waybill }
  const travelling = kitJourneys.filter(({ journey }) => journey.moments.dispatched !== undefined)
  const isReceivedTogether = travelling.length > 1 && random.chance(0.55)
  const shared = draftCarrierEvents(plan, transit, consignment, travelling, random)
  if (isReceivedTogether && travelling.some(({ journey }) => journey.moments.received !== undefined)) {
    shared.push({ ...draftLaboratoryEvent(plan, 'received', transit.receivedAt, random), ...consignment })
  }
  return kitJourneys.map(({ piece, kit, journey }) => {
    const own = draftPlantEvents(plan, piece, kit, journey, consignment, random)
    own.push(...draftLaboratoryEvents(plan, kit, journey, isReceivedTogether, random))
    const ending = draftEnding(plan, kit, journey, random)
    if (ending) own.push(ending)
    const consignmentDrafts = journey.moments.dispatched === undefined ? [] : shared
    return { kit, plantZone: plan.plant.zone, drafts: [...own, ...consignmentDrafts] }
  })
}

function draftPlantEvents(
  plan: BatchPlan,
  piece: Piece,
  kit: KitEntry,
  { moments }: TrueJourney,
  consignment: { service: string; waybill: string },
  random: RandomStream,
): DraftEvent[] {
  const { plant } = plan
  const desk = (kind: string, at: number, form: WrittenForm = plant.deskForm): DraftEvent => ({
    source: `plant desk ${plant.code}`,
    kind,
    sample: drawTypedCode(kit.code, random),
    place: plant.code,
    time: writeTime(at, form, plant.zone),
    ...drawKnownAt(at, random.chance(0.12) ? random.int(90, 400) : random.int(2, 28), random),
  })
  const drafts: DraftEvent[] = []
  const lot = `${formatDate(toLocalDay(moments.produced ?? 0, plant.zone)).slice(2, 7)}-${random.int(100, 989)}`
  const { produced, collected, sealed, dispatched } = moments
  if (produced !== undefined) {
    drafts.push({
      ...desk('produced', produced, plant.isProducedByDate ? 'date at place' : plant.deskForm),
      lot,
    })
  }
  if (collected !== undefined) {
    const isNamed = kit.product === undefined || random.chance(0.6)
    const product = isNamed ? { product: piece.product.code } : {}
    drafts.push({
      ...desk('collected', collected),
      ...product,
      lot,
      facts: { 'signed by': random.pick(SIGNERS) },
    })
  }
  if (sealed !== undefined)
    drafts.push({ ...desk('sealed', sealed), facts: { sealNumber: `S${random.int(10_000, 99_999)}` } })
  if (dispatched !== undefined) {
    const isScanned = random.chance(0.35)
    const event = { ...desk('dispatched', dispatched), ...consignment }
    drafts.push(
      isScanned ? { ...event, ...draftDockScan(plant.code, plant.zone, dispatched, random) } : event,
    )
  }
  return drafts
}

/** The fields of an event that a dock scanner at a plant or laboratory writes. */
export function draftDockScan(place: string, zone: string, at: number, random: RandomStream) {
  const source = `dock scanner ${place} ${random.int(1, 2)}`
  return { source, place, time: writeTime(at, 'utc', zone), ...drawKnownAt(at, random.int(0, 6), random) }
}

function draftCarrierEvents(
  plan: BatchPlan,
  transit: Transit,
  consignment: { service: string; waybill: string },
  travelling: JourneyOfKit[],
  random: RandomStream,
): DraftEvent[] {
  if (travelling.length === 0) return []
  const feed = (kind: string, at: number, place?: string): DraftEvent => ({
    source: `carrier feed ${plan.lane.service}`,
    kind,
    ...consignment,
    ...(place !== undefined && { place }),
    time: writeTime(at, 'utc', plan.laboratory.entry.zone),
    ...drawKnownAt(at, random.int(4, 150), random),
  })
  const drafts: DraftEvent[] = transit.scannedAt.map((at) => ({
    ...feed('scanned', at),
    facts: { hub: random.int(1, 9) },
  }))
  const { heldAt, clearedAt } = transit
  if (heldAt !== undefined) {
    const held = feed('held', heldAt)
    drafts.push({ ...held, facts: { by: 'customs' } })
    if (clearedAt !== undefined)
      drafts.push({
        ...held,
        kind: 'customs cleared',
        time: writeTime(clearedAt, 'utc', plan.laboratory.entry.zone),
        // The feed is as late as it was with the hold.
        knownAt: held.knownAt + clearedAt - heldAt,
      })
  }
  if (transit.outcome === 'arrives')
    return [...drafts, feed('delivered', transit.deliveredAt, plan.laboratory.entry.code)]
  const seen = drafts.filter(({ time }) => time.instant < transit.endAt)
  return transit.outcome === 'lost' ? [...seen, feed('lost', transit.endAt)] : seen
}

function draftLaboratoryEvents(
  plan: BatchPlan,
  kit: KitEntry,
  { moments }: TrueJourney,
  isReceivedTogether: boolean,
  random: RandomStream,
): DraftEvent[] {
  const { code } = plan.laboratory.entry
  const { received, conditioned, loaded, reported } = moments
  const sample = kit.code
  const drafts: DraftEvent[] = []
  if (received !== undefined && !isReceivedTogether) {
    const temperature = Math.round(170 + 90 * random.next()) / 10
    const facts = { condition: { ...WELL, temperature } }
    drafts.push({
      ...draftLaboratoryEvent(plan, 'received', received, random),
      sample: drawTypedCode(sample, random),
      facts,
    })
  }
  if (conditioned !== undefined)
    drafts.push({ ...draftLaboratoryEvent(plan, 'conditioned', conditioned, random), sample })
  if (loaded !== undefined) {
    const facts = { chamber: random.int(1, 14) }
    drafts.push({ ...draftLaboratoryEvent(plan, 'loaded', loaded, random), sample, facts })
  }
  if (reported !== undefined) {
    const facts = {
      report: `${code}-${formatDate(toLocalDay(reported, 'UTC')).slice(2, 4)}-${random.int(10_000, 99_999)}`,
    }
    drafts.push({ ...draftLaboratoryEvent(plan, 'reported', reported, random), sample, facts })
  }
  return drafts
}

/** An event of a laboratory's receiving desk, bench or report office. */
function draftLaboratoryEvent(plan: BatchPlan, kind: string, at: number, random: RandomStream): DraftEvent {
  const { code, zone } = plan.laboratory.entry
  const room = kind === 'received' ? 'receiving desk' : kind === 'reported' ? 'report office' : 'bench book'
  const form: WrittenForm = kind === 'received' ? 'local at place' : 'offset'
  const delay = kind === 'received' ? random.int(3, 110) : random.int(1, 45)
  const time = writeTime(at, form, zone)
  return { source: `${room} ${code}`, kind, place: code, time, ...drawKnownAt(at, delay, random) }
}

function draftEnding(
  plan: BatchPlan,
  kit: KitEntry,
  { ending }: TrueJourney,
  random: RandomStream,
): DraftEvent | undefined {
  if (!ending || ending.kind === 'lost') return undefined
  const { kind, at } = ending
  const reasons = {
    rejected: ['bag open at the seam', 'seal number differs from the form', 'sample wet', 'piece too small'],
    returned: ['address label torn', 'customs papers missing', 'refused at the gate'],
    cancelled: ['production run stopped', 'order withdrawn', 'cut from the wrong roll'],
  }[kind]
  const isRetained = kit.purpose === 'retained' && kind === 'cancelled'
  const reason = isRetained ? 'retained piece no longer needed' : random.pick(reasons)
  if (kind === 'rejected') {
    return {
      ...draftLaboratoryEvent(plan, kind, at, random),
      source: `receiving desk ${kit.laboratory}`,
      sample: kit.code,
      facts: { reason },
    }
  }
  return {
    source: `plant desk ${plan.plant.code}`,
    kind,
    sample: kit.code,
    place: plan.plant.code,
    time: writeTime(at, plan.plant.deskForm, plan.plant.zone),
    ...drawKnownAt(at, random.int(5, 60), random),
    facts: { reason },
  }
}
