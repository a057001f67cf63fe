import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store'

interface Step {
  list: RegisterList
  one: string
  many: string
  /** What is said where there is none yet. */
  missing: string
  because: string
  act: string
  /** A programme can begin without any. */
  isOptional?: boolean
}

/** The lists in the order in which a programme is set up: each names what stands in those before it. */
export const SETUP_ORDER: readonly Step[] = [
  {
    list: 'laboratories',
    one: 'laboratory',
    many: 'Laboratories',
    missing: 'No laboratory yet: begin there.',
    because: 'Its zone and its open days are what limits are counted by.',
    act: 'Add a laboratory',
  },
  {
    list: 'plants',
    one: 'plant',
    many: 'Plants',
    missing: 'No plant yet.',
    because: 'Samples are cut at one, and times reported there are read in its zone.',
    act: 'Add a plant',
  },
  {
    list: 'services',
    one: 'service',
    many: 'Services',
    missing: 'No carrier service yet.',
    because: 'With a waybill it names what travels together.',
    act: 'Add a service',
  },
  {
    list: 'protocols',
    one: 'protocol',
    many: 'Protocols',
    missing: 'No protocol yet.',
    because: 'It has the hold limits that every sample’s clocks run by.',
    act: 'Add a protocol',
  },
  {
    list: 'products',
    one: 'product',
    many: 'Products',
    missing: 'No product yet.',
    because: 'It says which plant makes it and which protocol it comes under.',
    act: 'Add a product',
  },
  {
    list: 'pickups',
    one: 'pickup',
    many: 'Pickups',
    missing: 'No pickup yet.',
    because: 'What is handed over after a service has called leaves with the next call.',
    act: 'Add the pickups of a service',
    isOptional: true,
  },
  {
    list: 'kits',
    one: 'kit',
    many: 'Kits',
    missing: 'No kit yet.',
    because: 'A sample is on the board as soon as its kit is issued.',
    act: 'Issue kits',
  },
]

/** The first step that is still missing; undefined where nothing is. */
export function missingFirst(register: RegisterDocument): Step | undefined {
  return SETUP_ORDER.find(({ list, isOptional }) => !isOptional && register[list].length === 0)
}
