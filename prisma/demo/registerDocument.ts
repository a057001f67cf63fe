import type { KitContent, Weekday } from '@/lib/custody/registerDocument'
import type {
  CertificateContent,
  DutyContent,
  FamilyContent,
  ShutdownContent,
} from '@/lib/custody/testingEntries'
import type { Limit } from '@/lib/hold/limit'

/** The register as one JSON document: who takes part, what is owed, and which kits are out. */
export interface RegisterDocument extends OwedEntries {
  laboratories: LaboratoryEntry[]
  plants: PlantEntry[]
  services: ServiceEntry[]
  protocols: ProtocolEntry[]
  products: ProductEntry[]
  pickups: PickupEntry[]
  kits: KitEntry[]
}

/** What is owed, and when plants are shut. */
export interface OwedEntries {
  families: FamilyContent[]
  certificates: CertificateContent[]
  duties: DutyContent[]
  shutdowns: Omit<ShutdownContent, 'code'>[]
}

export interface LaboratoryEntry {
  code: string
  name: string
  /** IANA zone in which `receiving` and `closed` are read. */
  zone: string
  /** Opening hours as "HH:MM-HH:MM", local. */
  receiving: Partial<Record<Weekday, string[]>>
  /** Local dates, "YYYY-MM-DD". */
  closed: string[]
}

export interface PlantEntry {
  code: string
  name: string
  zone: string
  maker: string
  /** Monday to Friday where it is absent. */
  workdays?: Weekday[]
}

export interface ServiceEntry {
  code: string
  name: string
}

export interface ProtocolEntry {
  code: string
  name: string
  limits: Limit[]
  /** Chance of missing its limit from which a running clock is tight, 0..1. */
  tight?: number
  /** Chance of missing its limit from which a running clock is at risk, 0..1. */
  atRisk?: number
}

export interface ProductEntry {
  code: string
  plant: string
  name: string
  protocol: string
}

/** When a service calls at a plant, by weekday, "HH:MM" on the plant's clock. */
export interface PickupEntry {
  plant: string
  service: string
  hours: Partial<Record<Weekday, string>>
}

export interface KitEntry {
  code: string
  /** Absent on a spare kit: `collected` then names the product. */
  product?: string
  plant: string
  laboratory: string
  service?: string
  /** RFC 3339. */
  issuedAt: string
  /** Absent means first. */
  purpose?: Exclude<KitContent['purpose'], 'first' | undefined>
  /** Absent: with its issue. */
  posted?: 'not yet'
  /** The kit whose sample this one makes good. */
  replaces?: string
}
