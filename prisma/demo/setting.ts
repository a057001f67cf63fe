import { DAY, toLocalDay } from '@/lib/hold/zone'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import { type ClockChange, findClockChanges } from './clockChanges'
import { type DemoLaboratory, LABORATORIES, listClosedDates } from './laboratories'
import { makeOpenDays, type OpenDays } from './openDays'
import { PLANTS } from './plants'
import { PRODUCTS } from './products'
import { PROTOCOLS } from './protocols'
import type { LaboratoryEntry, ProductEntry, ProtocolEntry } from './registerDocument'

/** Length of the programme's past, in days: 18 months. */
export const PAST_DAYS = 548
const FUTURE_DAYS = 92

export interface OpenLaboratory {
  entry: LaboratoryEntry
  habits: DemoLaboratory
  days: OpenDays
}

/** The fixed part of the simulation: the current instant (ms UTC), and the participants. */
export interface Setting {
  now: number
  laboratories: ReadonlyMap<string, OpenLaboratory>
  products: ReadonlyMap<string, ProductEntry>
  protocols: ReadonlyMap<string, ProtocolEntry>
  /** The transit model, once there is a past to build it from. */
  transitModel?: TransitModel
  /** The clock changes of each plant's zone within the programme's past. */
  clockChanges: ReadonlyMap<string, ClockChange[]>
}

export function makeSetting(now: number): Setting {
  return {
    now,
    laboratories: new Map(LABORATORIES.map((habits) => [habits.code, toOpenLaboratory(habits, now)])),
    products: new Map(PRODUCTS.map((product) => [product.code, product])),
    protocols: new Map(PROTOCOLS.map((protocol) => [protocol.code, protocol])),
    clockChanges: new Map(
      PLANTS.map(({ zone }) => [zone, findClockChanges(zone, now - PAST_DAYS * DAY, now)]),
    ),
  }
}

function toOpenLaboratory(habits: DemoLaboratory, now: number): OpenLaboratory {
  const today = toLocalDay(now, habits.zone)
  const closed = listClosedDates(habits, today - PAST_DAYS - 14, today + FUTURE_DAYS)
  const { code, name, zone, receiving } = habits
  const entry = { code, name, zone, receiving, closed }
  return { entry, habits, days: makeOpenDays(entry) }
}
