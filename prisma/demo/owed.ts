import { DAY, getWeekday, HOUR, toLocalDay } from '@/lib/hold/zone'
import type { DraftEvent } from './draftEvent'
import type { KitCodes } from './kitCodes'
import { PLANTS } from './plants'
import type { KitEntry, OwedEntries, ProductEntry } from './registerDocument'
import type { Setting } from './setting'
import { formatDate, formatUtc, type LocalDay, toInstant } from './wallClock'
import { writeTime } from './writtenTime'

/** Products that are rarely made; each is in its first test, which has stalled at another step. */
const NEW_PRODUCTS = {
  noKit: { code: 'C203', plant: 'VEL2', name: 'Drossimer cork sheet, lacquered', protocol: 'CORK' },
  notPosted: { code: 'M203', plant: 'KET2', name: 'Bronnevy roll foam, laminated', protocol: 'FOAM' },
  notCut: { code: 'P203', plant: 'DRA2', name: 'Tilvaner grooved panel', protocol: 'PANEL' },
  notLeft: { code: 'P304', plant: 'ILQ1', name: 'Murroske corner panel', protocol: 'PANEL' },
  reportLate: { code: 'F203', plant: 'OMB2', name: 'Ummerel wool felt tile, woven', protocol: 'FELT' },
} satisfies Record<string, ProductEntry>

/** Duration of each part of a duty's work, in days. Invented, like the limits. */
const WORK = { windowDays: 60, kitDays: 4, loadDays: 2, testDays: 14, reportDays: 5 }

/** Days until the first test of a new product is due, at most. */
const DUE_AHEAD_DAYS = 20

/** What the demo's programme owes, with the kits and events of the stalled tests. */
export function makeOwedEntries(
  setting: Setting,
  codes: KitCodes,
): { entries: OwedEntries; products: ProductEntry[]; kits: KitEntry[]; drafts: DraftEvent[] } {
  const today = toLocalDay(setting.now, 'UTC')
  const { noKit, notPosted, notCut, notLeft, reportLate } = NEW_PRODUCTS
  const soon = formatDate(today + DUE_AHEAD_DAYS)
  // The report was due some days ago; the sample was in the chamber in time.
  const missed = toWorkday(today - 3)
  const first = (product: ProductEntry, laboratory: string, service: string, due: string) => ({
    code: `first test of ${product.code}`,
    product: product.code,
    laboratory,
    service,
    first: due,
    everyMonths: 12,
    ...WORK,
  })
  const kit = (product: ProductEntry, laboratory: string, service: string, issued: LocalDay): KitEntry => ({
    code: codes.issue(),
    product: product.code,
    plant: product.plant,
    laboratory,
    service,
    issuedAt: formatUtc(toWorkday(issued) * DAY + 9 * HOUR),
  })
  const waiting: KitEntry = { ...kit(notPosted, 'OVR', 'air', today - 6), posted: 'not yet' }
  const uncut = kit(notCut, 'ZEM', 'ground', today - 16)
  const left = kit(notLeft, 'ZEM', 'courier', today - 12)
  const tested = kit(reportLate, 'OVR', 'ground', missed - 46)
  return {
    entries: {
      ...makeYearlyEntries(today),
      duties: [
        ...makeYearlyEntries(today).duties,
        first(noKit, 'OVR', 'road', soon),
        first(notPosted, 'OVR', 'air', soon),
        first(notCut, 'ZEM', 'ground', formatDate(today + DUE_AHEAD_DAYS - 2)),
        first(notLeft, 'ZEM', 'courier', soon),
        first(reportLate, 'OVR', 'ground', formatDate(missed)),
      ],
    },
    products: Object.values(NEW_PRODUCTS),
    kits: [waiting, uncut, left, tested],
    drafts: [
      ...draftUntilLoaded(left, toWorkday(today - 4), setting).slice(0, 3),
      ...draftUntilLoaded(tested, toWorkday(missed - 40), setting),
    ],
  }
}

/** Families, certificates, duties and shutdowns that recur every year. */
function makeYearlyEntries(today: LocalDay): OwedEntries {
  const families = [
    { code: 'SORRINEL', name: 'Sorrinel wool felt tiles', members: ['F101', 'F102'], tested: 'F101' },
    { code: 'PELLUNOR', name: 'Pellunor cork underlays', members: ['C101', 'C102', 'C103'], tested: 'C102' },
    { code: 'QUELLITH', name: 'Quellith seat foams', members: ['M101', 'M102'], tested: 'M102' },
  ]
  const yearly = [
    { family: 'SORRINEL', laboratory: 'OVR', service: 'ground' },
    { family: 'PELLUNOR', laboratory: 'OVR', service: 'road' },
    { family: 'QUELLITH', laboratory: 'ZEM', service: 'courier' },
    { product: 'F301', laboratory: 'ZEM', service: 'ground' },
    { product: 'C301', laboratory: 'ZEM', service: 'air' },
    { product: 'P101', laboratory: 'LUS', service: 'air' },
    { product: 'P301', laboratory: 'ZEM', service: 'road' },
    { product: 'M301', laboratory: 'LUS', service: 'air' },
  ]
  const subject = ({ product, family }: { product?: string; family?: string }) =>
    family === undefined ? { product } : { family }
  return {
    families,
    duties: yearly.map((one, index) => ({
      code: `yearly test of ${one.family ?? one.product}`,
      ...one,
      first: formatDate(today - 365 + 90 + index * 31),
      everyMonths: index % 3 === 2 ? 6 : 12,
      ...WORK,
    })),
    // Each is valid for a year; the first ones expire before the next test of their duty is due.
    certificates: yearly.map((one, index) => ({
      code: `DEMO-${String(101 + index)}`,
      ...subject(one),
      issued: formatDate(today - 365 + 70 + index * 29),
      expires: formatDate(today + 70 + index * 29),
    })),
    shutdowns: PLANTS_SHUT.map(({ plant, inDays, days, reason }) => ({
      plant,
      from: formatDate(today + inDays),
      to: formatDate(today + inDays + days - 1),
      reason,
    })),
  }
}

const PLANTS_SHUT = [
  { plant: 'OMB1', inDays: 26, days: 12, reason: 'Repair of the carding line' },
  { plant: 'KET1', inDays: 40, days: 5, reason: 'Stocktaking' },
  { plant: 'DRA1', inDays: 61, days: 9, reason: 'New press' },
]

/** What the office was told about a sample, from its cut to the chamber. */
function draftUntilLoaded(kit: KitEntry, cutDay: LocalDay, setting: Setting): DraftEvent[] {
  const open = setting.laboratories.get(kit.laboratory)?.days
  const plant = PLANTS.find(({ code }) => code === kit.plant)
  if (!open || !plant) throw new RangeError(`The demo has no ${kit.plant} or no ${kit.laboratory}`)
  const there = open.after(cutDay, 3)
  const at = (day: LocalDay, hours: number) => toInstant(day, hours * 60, plant.zone)
  const inside = (day: LocalDay, hours: number) => open.hours(day).opensAt + hours * HOUR
  const moments: [kind: string, at: number, place: string | undefined][] = [
    ['produced', at(cutDay, 8), kit.plant],
    ['collected', at(cutDay, 9), kit.plant],
    ['sealed', at(cutDay, 10), kit.plant],
    ['dispatched', at(cutDay, 15), kit.plant],
    ['form copy', at(cutDay, 16), undefined],
    ['received', inside(there, 1), kit.laboratory],
    ['conditioned', inside(there, 2), kit.laboratory],
    ['loaded', inside(open.after(there, 1), 1), kit.laboratory],
  ]
  return moments.map(([kind, instant, place]) => ({
    source: 'programme office',
    kind,
    sample: kit.code,
    time: writeTime(instant, 'utc', 'UTC'),
    knownAt: instant + HOUR,
    isKnownAtSent: true,
    ...(place !== undefined && { place }),
    ...(kind === 'dispatched' && { service: kit.service }),
  }))
}

/** The day itself if it is a weekday, else the Friday before. */
function toWorkday(day: LocalDay): LocalDay {
  const weekday = getWeekday(day)
  if (weekday === 0) return day - 2
  return weekday === 6 ? day - 1 : day
}
