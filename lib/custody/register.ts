import { type Calendar, createCalendar, type OpeningDays } from '@/lib/hold/calendar'
import { createHolidayLookup } from '@/lib/hold/holidayRule'
import type { Limit } from '@/lib/hold/limit'
import { type OpenMinutes, parseMinuteOfDay } from '@/lib/hold/openHours'
import { DEFAULT_THRESHOLDS, type Thresholds } from '@/lib/hold/standing'
import { parseIsoDate } from '@/lib/hold/zone'
import type { ConditionRules } from './condition'
import { buildPlantCalendar } from './plantCalendar'
import { getMaker } from './pooling'
import { type Reading, readTime } from './reading'
import {
  type KitContent,
  type LaboratoryContent,
  type PickupContent,
  type PlantContent,
  type ProductContent,
  type ProtocolContent,
  type RegisterDocument,
  type ServiceContent,
  toHolidayRule,
  WEEKDAYS,
} from './registerDocument'
import type { CertificateContent, DutyContent, FamilyContent, ShutdownContent } from './testingEntries'

export interface Kit {
  code: string
  plant: string
  laboratory: string
  product: string | null
  service: string | null
  purpose: string
  replaces: string | null
  /** ms UTC. */
  issuedAt: number
  /** The local date on which it was posted to the plant; null: when it was issued. */
  posted: string | null
}

/** A version of an entry. `holdsFromAt` is in ms UTC; -Infinity: always. */
export type RegisterEntry = { holdsFromAt: number } & (
  | { kind: 'laboratory'; content: LaboratoryContent }
  | { kind: 'plant'; content: PlantContent }
  | { kind: 'service'; content: ServiceContent }
  | { kind: 'protocol'; content: ProtocolContent }
  | { kind: 'product'; content: ProductContent }
  | { kind: 'pickup'; content: PickupContent }
  | { kind: 'family'; content: FamilyContent }
  | { kind: 'certificate'; content: CertificateContent }
  | { kind: 'duty'; content: DutyContent }
  | { kind: 'shutdown'; content: ShutdownContent }
)

/** The removal of an entry. */
export interface RegisterRemoval {
  kind: RegisterEntry['kind']
  code: string
  content: null
  /** ms UTC. */
  holdsFromAt: number
}

/** The limits of a protocol, and what it says of the condition at receipt, from an instant (ms UTC) until its next version. */
export interface LimitsInForce {
  holdsFromAt: number
  protocol: string
  limits: readonly Limit[]
  condition: ConditionRules
}

/**
 * The register over its whole history: every version of every entry. Kits are looked up apart, since there are many.
 * Names, zones, thresholds and pickups are the newest version's. So are calendars, but days that were past when it
 * came keep what held then. A clock takes the limit that was in force at its start. The limits and the name of a
 * removed entry stay, since samples may depend on them; a removed place no longer exists.
 */
export class Register {
  readonly laboratories = new Map<string, LaboratoryContent>()
  readonly plants = new Map<string, PlantContent>()
  readonly services = new Map<string, ServiceContent>()
  readonly protocols = new Map<string, ProtocolContent>()
  readonly products = new Map<string, ProductContent>()
  /** By `pickupCode`. */
  readonly pickups = new Map<string, PickupContent>()
  readonly families = new Map<string, FamilyContent>()
  readonly certificates = new Map<string, CertificateContent>()
  readonly duties = new Map<string, DutyContent>()
  /** By `shutdownCode`. */
  readonly shutdowns = new Map<string, ShutdownContent>()
  /** Every version of every shutdown, removals (null) included, in the order of entry. */
  readonly #shutdownVersions = new Map<string, { holdsFromAt: number; content: ShutdownContent | null }[]>()
  readonly #workdays = new Map<string, Calendar>()
  readonly #versions = new Map<string, RegisterEntry[]>()
  readonly #calendars = new Map<string, Calendar>()
  readonly #openMinutes = new Map<string, readonly OpenMinutes[]>()
  readonly #limits = new Map<string, LimitsInForce[]>()

  /** Entries in the order of entry. */
  constructor(entries: Iterable<RegisterEntry | RegisterRemoval>) {
    for (const entry of entries) {
      if (entry.content === null) {
        this.#takeOut(entry)
        continue
      }
      const key = `${entry.kind} ${entry.content.code}`
      const versions = this.#versions.get(key) ?? []
      versions.push(entry)
      this.#versions.set(key, versions)
      this.#setNewest(entry)
    }
    for (const versions of this.#versions.values())
      versions.sort((a, b) => a.holdsFromAt - b.holdsFromAt || 0)
  }

  #takeOut({ kind, code, holdsFromAt }: RegisterRemoval): void {
    if (kind === 'laboratory') this.laboratories.delete(code)
    else if (kind === 'plant') this.plants.delete(code)
    else if (kind === 'pickup') this.pickups.delete(code)
    else if (kind === 'family') this.families.delete(code)
    else if (kind === 'certificate') this.certificates.delete(code)
    else if (kind === 'duty') this.duties.delete(code)
    else if (kind === 'shutdown') {
      this.shutdowns.delete(code)
      this.#shutdownVersions.get(code)?.push({ holdsFromAt, content: null })
    }
  }

  #setNewest(entry: RegisterEntry): void {
    const { code } = entry.content
    if (entry.kind === 'laboratory') this.laboratories.set(code, entry.content)
    else if (entry.kind === 'plant') this.plants.set(code, entry.content)
    else if (entry.kind === 'service') this.services.set(code, entry.content)
    else if (entry.kind === 'protocol') this.protocols.set(code, entry.content)
    else if (entry.kind === 'pickup') this.pickups.set(code, entry.content)
    else if (entry.kind === 'family') this.families.set(code, entry.content)
    else if (entry.kind === 'certificate') this.certificates.set(code, entry.content)
    else if (entry.kind === 'duty') this.duties.set(code, entry.content)
    else if (entry.kind === 'shutdown') {
      this.shutdowns.set(code, entry.content)
      const versions = this.#shutdownVersions.get(code) ?? []
      versions.push(entry)
      this.#shutdownVersions.set(code, versions)
    } else this.products.set(code, entry.content)
  }

  /** The zone of a plant or a laboratory; null if the register has no such place. */
  getZone(code: string | null): string | null {
    if (code === null) return null
    return this.plants.get(code)?.zone ?? this.laboratories.get(code)?.zone ?? null
  }

  /** The open days of a laboratory. Errors: RangeError for an unknown code. */
  getCalendar(code: string): Calendar {
    const known = this.#calendars.get(code)
    if (known) return known
    const versions = this.#versionsOf('laboratory', code)
    const newest = this.laboratories.get(code)
    if (!newest) throw new RangeError(`No laboratory has the code "${code}"`)
    const calendar = createCalendar(
      newest.zone,
      versions.map((version) => toOpeningDays(version.content, version.holdsFromAt)),
    )
    this.#calendars.set(code, calendar)
    return calendar
  }

  /** The receiving hours of a laboratory for each of the seven weekdays, in its zone. Errors: RangeError for an unknown code. */
  getOpenMinutes(code: string): readonly OpenMinutes[] {
    const known = this.#openMinutes.get(code)
    if (known) return known
    const entry = this.laboratories.get(code)
    if (!entry) throw new RangeError(`No laboratory has the code "${code}"`)
    const hours = WEEKDAYS.map((day) =>
      (entry.receiving[day] ?? [])
        .map((span) => [parseMinuteOfDay(span.slice(0, 5)), parseMinuteOfDay(span.slice(6))] as const)
        .sort(([a], [b]) => a - b),
    )
    this.#openMinutes.set(code, hours)
    return hours
  }

  /** The days on which a plant cuts and hands over. Errors: RangeError for an unknown code. */
  getWorkdays(code: string): Calendar {
    const known = this.#workdays.get(code)
    if (known) return known
    const newest = this.plants.get(code)
    if (!newest) throw new RangeError(`No plant has the code "${code}"`)
    const shutdowns = [...this.#shutdownVersions.values()].filter((versions) =>
      versions.some(({ content }) => content?.plant === code),
    )
    const calendar = buildPlantCalendar(newest.zone, this.#versionsOf('plant', code), shutdowns)
    this.#workdays.set(code, calendar)
    return calendar
  }

  /**
   * The product, if this plant makes it or once made it. Another maker's gives null like an unknown one: an event can
   * name any code, and must neither use nor reveal another maker's product.
   */
  findProduct(plant: string, code: string | null): ProductContent | null {
    if (code === null) return null
    const isMade = this.#versionsOf('product', code).some((version) => version.content.plant === plant)
    return isMade ? (this.products.get(code) ?? null) : null
  }

  /**
   * The product whose tests a sample of this plant can count for: `findProduct`, as long as the same maker makes it.
   * A product that went to another maker gets no tests from its former one.
   */
  findTestedProduct(plant: string, code: string | null): ProductContent | null {
    const made = this.findProduct(plant, code)
    if (made === null || made.plant === plant) return made
    const [former, present] = [plant, made.plant].map((one) => getMaker(this.plants.get(one)))
    return former === present && former !== '' ? made : null
  }

  /** The limits in force for a product over time, earliest first; empty for an unknown product. */
  listLimits(product: string): readonly LimitsInForce[] {
    const known = this.#limits.get(product)
    if (known) return known
    const products = this.#versionsOf('product', product)
    const changeTimes = new Set(products.map((version) => version.holdsFromAt))
    for (const version of products)
      for (const protocol of this.#versionsOf('protocol', version.content.protocol))
        changeTimes.add(protocol.holdsFromAt)
    const found: LimitsInForce[] = []
    for (const holdsFromAt of [...changeTimes].sort((a, b) => a - b)) {
      const code = findInForce(products, holdsFromAt)?.content.protocol
      const protocol =
        code === undefined ? undefined : findInForce(this.#versionsOf('protocol', code), holdsFromAt)
      if (!protocol) continue
      const { code: name, limits, condition = {} } = protocol.content
      found.push({ holdsFromAt, protocol: name, limits, condition })
    }
    this.#limits.set(product, found)
    return found
  }

  /** The chances of missing a limit from which a sample of this protocol is tight and at risk. */
  getThresholds(protocol: string | null): Thresholds {
    const entry = protocol === null ? undefined : this.protocols.get(protocol)
    return {
      tight: entry?.tight ?? Math.min(DEFAULT_THRESHOLDS.tight, entry?.atRisk ?? 1),
      atRisk: entry?.atRisk ?? Math.max(DEFAULT_THRESHOLDS.atRisk, entry?.tight ?? 0),
    }
  }

  #versionsOf<K extends RegisterEntry['kind']>(kind: K, code: string) {
    return (this.#versions.get(`${kind} ${code}`) ?? []) as Extract<RegisterEntry, { kind: K }>[]
  }
}

function findInForce<E extends { holdsFromAt: number }>(versions: readonly E[], at: number): E | undefined {
  return versions.findLast((version) => version.holdsFromAt <= at) ?? versions[0]
}

function toOpeningDays(laboratory: LaboratoryContent, holdsFromAt: number): OpeningDays {
  const weekdays = new Set<number>()
  WEEKDAYS.forEach((name, number) => {
    if ((laboratory.receiving[name] ?? []).length > 0) weekdays.add(number)
  })
  return {
    weekdays,
    closed: new Set(laboratory.closed.map((date) => parseIsoDate(date) as number)),
    findHoliday: createHolidayLookup((laboratory.holidays ?? []).map(toHolidayRule)),
    holdsFromAt,
  }
}

/** Versions that hold from `holdsFromAt` (ms UTC). */
export function listEntries(document: RegisterDocument, holdsFromAt: number): RegisterEntry[] {
  return [
    ...document.laboratories.map((content) => ({ kind: 'laboratory' as const, content, holdsFromAt })),
    ...document.plants.map((content) => ({ kind: 'plant' as const, content, holdsFromAt })),
    ...document.services.map((content) => ({ kind: 'service' as const, content, holdsFromAt })),
    ...document.protocols.map((content) => ({ kind: 'protocol' as const, content, holdsFromAt })),
    ...document.products.map((content) => ({ kind: 'product' as const, content, holdsFromAt })),
    ...document.pickups.map((content) => ({ kind: 'pickup' as const, content, holdsFromAt })),
    ...document.families.map((content) => ({ kind: 'family' as const, content, holdsFromAt })),
    ...document.certificates.map((content) => ({ kind: 'certificate' as const, content, holdsFromAt })),
    ...document.duties.map((content) => ({ kind: 'duty' as const, content, holdsFromAt })),
    ...document.shutdowns.map((content) => ({ kind: 'shutdown' as const, content, holdsFromAt })),
  ]
}

export function toKit(content: KitContent): Kit {
  return {
    code: content.code,
    plant: content.plant,
    laboratory: content.laboratory,
    product: content.product ?? null,
    service: content.service ?? null,
    purpose: content.purpose ?? 'first',
    replaces: content.replaces ?? null,
    posted: content.posted ?? null,
    issuedAt: (readTime(content.issuedAt, null, null) as Reading).earliestAt,
  }
}
