import { findOpenDay } from '@/lib/hold/calendar'
import { DAY, HOUR, MINUTE, toLocalDay } from '@/lib/hold/zone'
import { drawKnownAt } from './deskTimes'
import type { DemoSample, DraftEvent } from './draftEvent'
import { findNextWorkday } from './journey'
import { judgeSample } from './judgement'
import type { KitCodes } from './kitCodes'
import { type DemoPlant, PLANTS } from './plants'
import type { RandomStream } from './randomStream'
import { draftDockScan } from './reporting'
import type { Setting } from './setting'
import { drawWaybill } from './typedCodes'
import { toInstant } from './wallClock'
import { writeTime } from './writtenTime'

/**
 * Events that match no sample: valid codes of no kit, codes one character away from an open kit's (reprinted labels
 * with a correct check character), consignments whose dispatch nobody has reported, and a box without a readable code.
 */
export function draftStrayEvents(
  samples: DemoSample[],
  setting: Setting,
  codes: KitCodes,
  random: RandomStream,
): DraftEvent[] {
  const open = samples.filter((sample) => {
    const { isOpen, furthest } = judgeSample(sample, setting)
    return isOpen && ['collected', 'sealed', 'dispatched'].includes(furthest)
  })
  const misread = random.shuffled(open).slice(0, 2)
  return [
    draftDeskEvent(codes.issue(), random.pick(PLANTS).code, setting, random),
    { ...draftDeskEvent(codes.issue(), random.pick(PLANTS).code, setting, random), kind: 'sealed' },
    ...misread.map(({ kit }) => draftScan(codes.issueMisread(kit.code), kit.plant, setting, random)),
    draftCarrierEvent('delivered', 'air', setting, random),
    draftCarrierEvent('scanned', 'ground', setting, random),
    draftReceipt('OVR', setting, random, consign('road', random)),
    draftReceipt('ZEM', setting, random, UNKNOWN_BOX),
  ]
}

function getPlant(code: string): DemoPlant {
  const plant = PLANTS.find((candidate) => candidate.code === code)
  if (!plant) throw new RangeError(`no plant ${code}`)
  return plant
}

/** A cut reported by a plant's desk, on a morning of the last days. */
function draftDeskEvent(code: string, plantCode: string, setting: Setting, random: RandomStream): DraftEvent {
  const plant = getPlant(plantCode)
  const day = findNextWorkday(plant, toLocalDay(setting.now, plant.zone) - random.int(6, 9))
  const at = toInstant(day, random.int(430, 640), plant.zone)
  return {
    source: `plant desk ${plant.code}`,
    kind: 'collected',
    sample: code,
    place: plant.code,
    time: writeTime(at, 'offset', plant.zone),
    ...drawKnownAt(at, random.int(4, 90), random),
  }
}

/** A code scanned at a plant's dock when the carrier called, a day or two ago. */
function draftScan(code: string, plantCode: string, setting: Setting, random: RandomStream): DraftEvent {
  const { zone, pickupMinutes } = getPlant(plantCode)
  const day = toLocalDay(setting.now, zone) - random.int(1, 3)
  const at = toInstant(day, pickupMinutes + random.int(-15, 15), zone)
  return { kind: 'scanned', sample: code, ...draftDockScan(plantCode, zone, at, random) }
}

/** The desk receives what it cannot name, with its condition. */
const UNKNOWN_BOX = {
  facts: {
    writtenOnBox: 'WALL PANEL 2/3, see form',
    condition: { seal: 'intact', packaging: 'wet', form: 'missing', temperature: 18.5 },
  },
} as const

function consign(service: string, random: RandomStream): { service: string; waybill: string } {
  return { service, waybill: drawWaybill(service, random) }
}

/** What a laboratory received on its last open day before today. */
function draftReceipt(
  laboratoryCode: string,
  setting: Setting,
  random: RandomStream,
  named: Pick<DraftEvent, 'service' | 'waybill' | 'facts'>,
): DraftEvent {
  const laboratory = setting.laboratories.get(laboratoryCode)
  if (!laboratory) throw new RangeError(`no laboratory ${laboratoryCode}`)
  const { zone } = laboratory.entry
  const day = findOpenDay(toLocalDay(setting.now, zone) - 1, -1, laboratory.days.calendar)
  const at = laboratory.days.moment(day, random.next())
  return {
    source: `receiving desk ${laboratoryCode}`,
    kind: 'received',
    ...named,
    place: laboratoryCode,
    time: writeTime(at, 'local at place', zone),
    ...drawKnownAt(at, random.int(4, 60), random),
  }
}

function draftCarrierEvent(
  kind: string,
  service: string,
  setting: Setting,
  random: RandomStream,
): DraftEvent {
  const at = Math.floor((setting.now - 3 * DAY * random.next() - 5 * HOUR) / MINUTE) * MINUTE
  return {
    source: `carrier feed ${service}`,
    kind,
    service,
    waybill: drawWaybill(service, random),
    time: writeTime(at, 'utc', 'UTC'),
    ...drawKnownAt(at, random.int(4, 150), random),
  }
}
