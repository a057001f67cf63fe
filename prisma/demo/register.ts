import { SERVICES } from './lanes'
import { pickupEntries } from './pickups'
import { PLANTS } from './plants'
import { PRODUCTS } from './products'
import { PROTOCOLS } from './protocols'
import type { KitEntry, RegisterDocument } from './registerDocument'
import type { Setting } from './setting'

/** The demo's register with these kits, as the document that sets it so. */
export function registerOf(setting: Setting, kits: KitEntry[]): RegisterDocument {
  return {
    laboratories: [...setting.laboratories.values()].map(({ entry }) => entry),
    plants: PLANTS.map(({ code, name, zone, maker }) => ({ code, name, zone, maker })),
    services: [...SERVICES],
    protocols: [...PROTOCOLS],
    products: [...PRODUCTS],
    pickups: pickupEntries(),
    kits: kits.sort((a, b) => (a.issuedAt + a.code < b.issuedAt + b.code ? -1 : 1)),
  }
}
