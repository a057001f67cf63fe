import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { RegisterList } from '@/lib/store/ledger/registerEntries'

interface Step {
  list: RegisterList
  title: string
  /** What is said where there is none yet. */
  emptyText: string
  reason: string
  addLabel: string
  /** A programme can begin without any. */
  isOptional?: boolean
}

/** The lists in the order in which a programme is set up: each names what stands in those before it. */
export const SETUP_ORDER: readonly Step[] = [
  {
    list: 'laboratories',
    title: 'Laboratories',
    emptyText: 'No laboratory yet.',
    reason: 'Begin with one: its zone and its open days are what limits are counted by.',
    addLabel: 'Add a laboratory',
  },
  {
    list: 'plants',
    title: 'Plants',
    emptyText: 'No plant yet.',
    reason: 'Samples are cut at one, and times reported there are read in its zone.',
    addLabel: 'Add a plant',
  },
  {
    list: 'services',
    title: 'Services',
    emptyText: 'No carrier service yet.',
    reason: 'With a waybill it names what travels together.',
    addLabel: 'Add a service',
  },
  {
    list: 'protocols',
    title: 'Protocols',
    emptyText: 'No protocol yet.',
    reason: 'It has the hold limits that every sample’s clocks run by.',
    addLabel: 'Add a protocol',
  },
  {
    list: 'products',
    title: 'Products',
    emptyText: 'No product yet.',
    reason: 'It says which plant makes it and which protocol it comes under.',
    addLabel: 'Add a product',
  },
  {
    list: 'pickups',
    title: 'Pickups',
    emptyText: 'No pickup yet.',
    reason: 'What is handed over after a service has called leaves with the next call.',
    addLabel: 'Add the pickups of a service',
    isOptional: true,
  },
  {
    list: 'families',
    title: 'Families',
    emptyText: 'No family yet.',
    reason: 'Of the products of a family one is tested for all.',
    addLabel: 'Add a family of products',
    isOptional: true,
  },
  {
    list: 'certificates',
    title: 'Certificates',
    emptyText: 'No certificate yet.',
    reason: 'Each says until when it is valid.',
    addLabel: 'Add a certificate',
    isOptional: true,
  },
  {
    list: 'duties',
    title: 'Duties',
    emptyText: 'No duty yet.',
    reason: 'A duty says what has to be tested, from when and how often.',
    addLabel: 'Add a duty',
    isOptional: true,
  },
  {
    list: 'shutdowns',
    title: 'Shutdowns',
    emptyText: 'No shutdown yet.',
    reason: 'While a plant is shut nothing is cut and nothing leaves.',
    addLabel: 'Add a shutdown',
    isOptional: true,
  },
  {
    list: 'kits',
    title: 'Kits',
    emptyText: 'No kit yet.',
    reason: 'A sample is on the board as soon as its kit is issued.',
    addLabel: 'Issue kits',
  },
]

/** The first step that is still missing; undefined where nothing is. */
export function findFirstMissing(register: RegisterDocument): Step | undefined {
  return SETUP_ORDER.find(({ list, isOptional }) => !isOptional && register[list].length === 0)
}
