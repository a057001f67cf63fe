import type { ConditionRules } from '@/lib/custody/condition'
import type { KitContent, Weekday } from '@/lib/custody/registerDocument'
import type {
  CertificateContent,
  DutyContent,
  FamilyContent,
  ShutdownContent,
} from '@/lib/custody/testingEntries'
import type { Limit } from '@/lib/hold/limit'

/** The register as one JSON document: participants, what is owed, and issued kits. */
export interface RegisterDocument extends OwedEntries {
  laboratories: LaboratoryEntry[]
  plants: PlantEntry[]
  services: ServiceEntry[]
  protocols: ProtocolEntry[]
  products: ProductEntry[]
  pickups: PickupEntry[]
  kits: KitEntry[]
}

/** What is owed, and when plants are shut down. */
export interface OwedEntries {
  families: FamilyContent[]
  certificates: CertificateContent[]
  duties: DutyContent[]
  shutdowns: Omit<ShutdownContent, 'code'>[]
}

export interface LaboratoryEntry {
  code: string
  name: string
  /** IANA zone of `receiving` and `closed`. */
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
  /** Default: Monday to Friday. */
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
  /** Chance to miss its limit from which a running clock is tight, 0..1. */
  tight?: number
  /** Chance to miss its limit from which a running clock is at risk, 0..1. */
  atRisk?: number
  /** Which temperatures are right at receipt, and how grave each fault is. */
  condition?: ConditionRules
}

export interface ProductEntry {
  code: string
  plant: string
  name: string
  protocol: string
}

/** When a service calls at a plant, by weekday, "HH:MM" local. */
export interface PickupEntry {
  plant: string
  service: string
  hours: Partial<Record<Weekday, string>>
}

export interface KitEntry {
  code: string
  /** Absent for a spare kit: `collected` then names the product. */
  product?: string
  plant: string
  laboratory: string
  service?: string
  /** RFC 3339. */
  issuedAt: string
  /** Default: first. */
  purpose?: Exclude<KitContent['purpose'], 'first' | undefined>
  /** Default: posted when issued. */
  posted?: 'not yet'
  /** The kit whose sample this one replaces. */
  replaces?: string
}
