import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'

interface Step {
  list: RegisterList
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
    many: 'Laboratories',
    missing: 'No laboratory yet.',
    because: 'Begin with one: its zone and its open days are what limits are counted by.',
    act: 'Add a laboratory',
  },
  {
    list: 'plants',
    many: 'Plants',
    missing: 'No plant yet.',
    because: 'Samples are cut at one, and times reported there are read in its zone.',
    act: 'Add a plant',
  },
  {
    list: 'services',
    many: 'Services',
    missing: 'No carrier service yet.',
    because: 'With a waybill it names what travels together.',
    act: 'Add a service',
  },
  {
    list: 'protocols',
    many: 'Protocols',
    missing: 'No protocol yet.',
    because: 'It has the hold limits that every sample’s clocks run by.',
    act: 'Add a protocol',
  },
  {
    list: 'products',
    many: 'Products',
    missing: 'No product yet.',
    because: 'It says which plant makes it and which protocol it comes under.',
    act: 'Add a product',
  },
  {
    list: 'pickups',
    many: 'Pickups',
    missing: 'No pickup yet.',
    because: 'What is handed over after a service has called leaves with the next call.',
    act: 'Add the pickups of a service',
    isOptional: true,
  },
  {
    list: 'families',
    many: 'Families',
    missing: 'No family yet.',
    because: 'Of the products of a family one is tested for all.',
    act: 'Add a family of products',
    isOptional: true,
  },
  {
    list: 'certificates',
    many: 'Certificates',
    missing: 'No certificate yet.',
    because: 'Each says until when it is valid.',
    act: 'Add a certificate',
    isOptional: true,
  },
  {
    list: 'duties',
    many: 'Duties',
    missing: 'No duty yet.',
    because: 'A duty says what has to be tested, from when and how often.',
    act: 'Add a duty',
    isOptional: true,
  },
  {
    list: 'shutdowns',
    many: 'Shutdowns',
    missing: 'No shutdown yet.',
    because: 'While a plant is shut nothing is cut and nothing leaves.',
    act: 'Add a shutdown',
    isOptional: true,
  },
  {
    list: 'kits',
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
