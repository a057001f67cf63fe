import { DAY, localDay } from '@/lib/hold/zone'
import type { LaneRecord } from '@/lib/lane/model/record'
import { type ClockChange, clockChanges } from './clockChanges'
import { closedDates, type DemoLaboratory, LABORATORIES } from './laboratories'
import { type OpenDays, openDays } from './openDays'
import { PLANTS } from './plants'
import { PRODUCTS } from './products'
import { PROTOCOLS } from './protocols'
import type { LaboratoryEntry, ProductEntry, ProtocolEntry } from './registerDocument'

/** How far the programme reaches back from now, in days: 18 months. */
export const PAST_DAYS = 548
const FUTURE_DAYS = 92

export interface DemoLaboratoryAtWork {
  entry: LaboratoryEntry
  habits: DemoLaboratory
  days: OpenDays
}

/** Everything that stands still while samples move: the instant it is (ms UTC), and who takes part. */
export interface Setting {
  now: number
  laboratories: ReadonlyMap<string, DemoLaboratoryAtWork>
  products: ReadonlyMap<string, ProductEntry>
  protocols: ReadonlyMap<string, ProtocolEntry>
  /** The lanes' record, once there is a past to make it from. */
  record?: LaneRecord
  /** The changes of clocks of each plant's zone in the time the programme covers. */
  clockChanges: ReadonlyMap<string, ClockChange[]>
}

export function settingAt(now: number): Setting {
  return {
    now,
    laboratories: new Map(LABORATORIES.map((habits) => [habits.code, atWork(habits, now)])),
    products: new Map(PRODUCTS.map((product) => [product.code, product])),
    protocols: new Map(PROTOCOLS.map((protocol) => [protocol.code, protocol])),
    clockChanges: new Map(PLANTS.map(({ zone }) => [zone, clockChanges(zone, now - PAST_DAYS * DAY, now)])),
  }
}

function atWork(habits: DemoLaboratory, now: number): DemoLaboratoryAtWork {
  const today = localDay(now, habits.zone)
  const closed = closedDates(habits, today - PAST_DAYS - 14, today + FUTURE_DAYS)
  const { code, name, zone, receiving } = habits
  const entry = { code, name, zone, receiving, closed }
  return { entry, habits, days: openDays(entry) }
}
