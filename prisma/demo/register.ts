import { WEEKDAYS, type Weekday } from '@/lib/custody/registerDocument'
import { SERVICES } from './lanes'
import { makePickupEntries } from './pickups'
import { PLANTS } from './plants'
import { PRODUCTS } from './products'
import { PROTOCOLS } from './protocols'
import type { KitEntry, OwedEntries, ProductEntry, RegisterDocument } from './registerDocument'
import type { Setting } from './setting'

const NOTHING_OWED: OwedEntries = { families: [], certificates: [], duties: [], shutdowns: [] }

/** The demo's register with these kits. */
export function makeRegister(
  setting: Setting,
  kits: KitEntry[],
  products: readonly ProductEntry[] = PRODUCTS,
  owed: OwedEntries = NOTHING_OWED,
): RegisterDocument {
  return {
    laboratories: [...setting.laboratories.values()].map(({ entry }) => entry),
    plants: PLANTS.map(({ code, name, zone, maker, workdays }) => ({
      code,
      name,
      zone,
      maker,
      ...(workdays.includes(6) && { workdays: workdays.map((day) => WEEKDAYS[day] as Weekday) }),
    })),
    services: [...SERVICES],
    protocols: [...PROTOCOLS],
    products: [...products],
    pickups: makePickupEntries(),
    ...owed,
    kits: kits.sort((a, b) => (a.issuedAt + a.code < b.issuedAt + b.code ? -1 : 1)),
  }
}
