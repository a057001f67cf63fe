import { openDayFrom } from '@/lib/hold/calendar'
import { DAY, HOUR, localDay, MINUTE } from '@/lib/hold/zone'
import { waybillOf } from './codesOnPaper'
import { writtenDown } from './deskTimes'
import type { DemoSample, DraftEvent } from './draftEvent'
import { nextWorkday } from './journey'
import { judge } from './judgement'
import type { KitCodes } from './kitCodes'
import { type DemoPlant, PLANTS } from './plants'
import type { RandomStream } from './randomStream'
import { dockScan } from './reporting'
import type { Setting } from './setting'
import { atLocalTime } from './wallClock'
import { writtenTime } from './writtenTime'

/**
 * Events that fit no sample: sound codes of no kit, codes one slip away from an open kit's (the label was printed
 * anew, check character and all), and consignments whose dispatch nobody has reported.
 */
export function strayEvents(
  samples: DemoSample[],
  setting: Setting,
  codes: KitCodes,
  random: RandomStream,
): DraftEvent[] {
  const open = samples.filter((sample) => {
    const { isOpen, furthest } = judge(sample, setting)
    return isOpen && ['collected', 'sealed', 'dispatched'].includes(furthest)
  })
  const misread = random.shuffled(open).slice(0, 2)
  return [
    deskWord(codes.issue(), random.pick(PLANTS).code, setting, random),
    { ...deskWord(codes.issue(), random.pick(PLANTS).code, setting, random), kind: 'sealed' },
    ...misread.map(({ kit }) => scanWord(codes.oneSlipFrom(kit.code), kit.plant, setting, random)),
    carrierWord('delivered', 'air', setting, random),
    carrierWord('scanned', 'ground', setting, random),
    deskReceipt('OVR', 'road', setting, random),
  ]
}

function plantOf(code: string): DemoPlant {
  const plant = PLANTS.find((candidate) => candidate.code === code)
  if (!plant) throw new RangeError(`no plant ${code}`)
  return plant
}

/** Something a plant's desk says it cut, on a morning in the last days. */
function deskWord(code: string, plantCode: string, setting: Setting, random: RandomStream): DraftEvent {
  const plant = plantOf(plantCode)
  const day = nextWorkday(plant, localDay(setting.now, plant.zone) - random.int(6, 9))
  const at = atLocalTime(day, random.int(430, 640), plant.zone)
  return {
    source: `plant desk ${plant.code}`,
    kind: 'collected',
    sample: code,
    place: plant.code,
    time: writtenTime(at, 'offset', plant.zone),
    ...writtenDown(at, random.int(4, 90), random),
  }
}

/** A code read at a plant's dock when the carrier called, a day or two ago. */
function scanWord(code: string, plantCode: string, setting: Setting, random: RandomStream): DraftEvent {
  const { zone, pickupMinutes } = plantOf(plantCode)
  const day = localDay(setting.now, zone) - random.int(1, 3)
  const at = atLocalTime(day, pickupMinutes + random.int(-15, 15), zone)
  return { kind: 'scanned', sample: code, ...dockScan(plantCode, zone, at, random) }
}

/** A parcel without a dispatch, logged in at a laboratory on its last open day before today. */
function deskReceipt(
  laboratoryCode: string,
  service: string,
  setting: Setting,
  random: RandomStream,
): DraftEvent {
  const laboratory = setting.laboratories.get(laboratoryCode)
  if (!laboratory) throw new RangeError(`no laboratory ${laboratoryCode}`)
  const { zone } = laboratory.entry
  const day = openDayFrom(localDay(setting.now, zone) - 1, -1, laboratory.days.calendar)
  const at = laboratory.days.moment(day, random.next())
  return {
    source: `receiving desk ${laboratoryCode}`,
    kind: 'received',
    service,
    waybill: waybillOf(service, random),
    place: laboratoryCode,
    time: writtenTime(at, 'local at place', zone),
    ...writtenDown(at, random.int(4, 60), random),
  }
}

function carrierWord(kind: string, service: string, setting: Setting, random: RandomStream): DraftEvent {
  const at = Math.floor((setting.now - 3 * DAY * random.next() - 5 * HOUR) / MINUTE) * MINUTE
  return {
    source: `carrier feed ${service}`,
    kind,
    service,
    waybill: waybillOf(service, random),
    time: writtenTime(at, 'utc', 'UTC'),
    ...writtenDown(at, random.int(4, 150), random),
  }
}
